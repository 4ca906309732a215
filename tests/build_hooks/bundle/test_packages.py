"""What a site takes from npm's packages is what was recorded, or nothing is built."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Final

import pytest

from build_hooks.bundle.packages import PackageChangedError, check_packages, digests_of

MODULES: Final = Path(__file__).parents[3] / "node_modules"
FONT: Final = "@fontsource-variable/atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin-wght-normal.woff2"
REMEDY: Final = (
    "is not the file that was recorded. Run “npm ci” and build again; "
    "after changing a version in package.json, run “python -m build_hooks.bundle.digests” first."
)


@pytest.fixture
def modules(tmp_path: Path) -> Path:
    """A copy of the files that count."""
    copy = tmp_path / "node_modules"
    for name in digests_of(MODULES):
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(MODULES / name, copy / name)
    return copy


def test_what_npm_has_put_there_is_what_was_recorded(modules: Path) -> None:
    """The record is that of the packages in use, and holds what a site takes from them."""
    check_packages(modules)
    assert {FONT, "pyodide/pyodide.asm.js", "idb/build/index.js"} < digests_of(modules).keys()


@pytest.mark.parametrize("name", ["pyodide/pyodide.asm.js", "pyodide/python_stdlib.zip", "minisearch/dist/es/index.js", FONT])
def test_a_changed_file_is_named_with_the_remedy(modules: Path, name: str) -> None:
    """A single byte is enough."""
    content = bytearray((modules / name).read_bytes())
    content[len(content) // 2] ^= 1
    (modules / name).write_bytes(content)
    with pytest.raises(PackageChangedError) as caught:
        check_packages(modules)
    assert str(caught.value) == f"node_modules/{name} {REMEDY}"


def test_a_file_that_was_never_recorded_is_named(modules: Path) -> None:
    """The bundler might take it in."""
    (modules / "idb/build/more.js").write_text("", encoding="utf-8")
    with pytest.raises(PackageChangedError) as caught:
        check_packages(modules)
    assert str(caught.value) == f"node_modules/idb/build/more.js {REMEDY}"


def test_a_missing_file_is_named(modules: Path) -> None:
    """So is one that npm has not put there."""
    (modules / FONT).unlink()
    with pytest.raises(PackageChangedError) as caught:
        check_packages(modules)
    assert str(caught.value) == f"node_modules/{FONT} is missing. Run “npm ci” and build again."


def test_the_bundler_of_another_machine_is_left_to_npm(modules: Path) -> None:
    """It is another file there; one that was recorded is checked."""
    (modules / "@esbuild/other-cpu/bin").mkdir(parents=True)
    (modules / "@esbuild/other-cpu/bin/esbuild").write_bytes(b"another")
    shutil.rmtree(modules / "@esbuild/linux-x64", ignore_errors=True)
    check_packages(modules)
    (modules / "@esbuild/linux-x64/bin").mkdir(parents=True)
    (modules / "@esbuild/linux-x64/bin/esbuild").write_bytes(b"changed")
    with pytest.raises(PackageChangedError) as caught:
        check_packages(modules)
    assert str(caught.value) == f"node_modules/@esbuild/linux-x64/bin/esbuild {REMEDY}"
