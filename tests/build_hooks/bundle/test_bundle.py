"""The browser's files: the same every time, made again only when something changed, and never half of two editions."""

from __future__ import annotations

import base64
import gzip
import hashlib
import itertools
import json
import re
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest

import calc_engine
from build_hooks.bundle import BrowserFiles, PackageChangedError, browser_bundle, build_browser_files, carry, write_inlined_parts
from build_hooks.bundle.assets import bundled
from build_hooks.bundle.image import ImageFault, make_image
from build_hooks.bundle.known import known_answers
from build_hooks.bundle.slim import write_slim_library
from build_hooks.bundle.wheel import RUNTIME_PYTHON, engine_files, engine_wheel
from calc_engine import practice
from tests.build_hooks.own.manual import SOURCE

ROOT: Final = Path(__file__).parents[3]
MODULES: Final = ROOT / "node_modules"
RUNTIME: Final = MODULES / "pyodide"
CACHE: Final = ROOT / ".cache" / "benchleaf"

# Read once: a file that is edited while the tests run must not make two builds differ.
ENGINE: Final = engine_files()


@pytest.fixture(autouse=True, scope="module")
def _one_engine() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("build_hooks.bundle.engine_files", lambda: ENGINE)
        yield


def _build(target: Path, cache: Path = CACHE) -> tuple[BrowserFiles, list[str]]:
    warnings: list[str] = []
    return build_browser_files(target, MODULES, cache, warnings.append), warnings


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the files are."""
    return tmp_path_factory.mktemp("site")


@pytest.fixture(scope="module")
def files(target: Path) -> BrowserFiles:
    """What was written there."""
    found, warnings = _build(target)
    assert warnings == []
    return found


def _content(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# --- wheel ----------------------------------------------------------------------------------------------------------------


def test_the_wheel_is_the_same_every_time(tmp_path: Path) -> None:
    """No time of day, no path of a machine and no order of a folder gets into it."""
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        made.append(engine_wheel(ENGINE, tmp_path / name))
    assert made[0].name == f"calc_engine-{calc_engine.VERSION}-cp313-none-any.whl"
    assert made[0].read_bytes() == made[1].read_bytes()
    assert str(tmp_path).encode() not in b"".join(_unpacked(made[0]).values())


def test_the_wheel_holds_the_engine_as_bytecode_and_its_own_record(tmp_path: Path) -> None:
    """Every module is there once, compiled, and the record names every file with its digest."""
    names = set(_unpacked(engine_wheel(ENGINE, tmp_path)))
    info = f"calc_engine-{calc_engine.VERSION}.dist-info"
    assert names == {f"{name}c" for name in ENGINE} | {f"{info}/METADATA", f"{info}/WHEEL", f"{info}/RECORD"}
    record = _unpacked(next(tmp_path.glob("*.whl")))[f"{info}/RECORD"].decode()
    assert sorted(line.split(",")[0] for line in record.splitlines()) == sorted(names)


def test_another_python_ships_source(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Bytecode of another minor version would not load in the browser, so the source goes instead."""
    monkeypatch.setattr("build_hooks.bundle.wheel.RUNTIME_PYTHON", (RUNTIME_PYTHON[0], RUNTIME_PYTHON[1] + 1))
    wheel = engine_wheel(ENGINE, tmp_path)
    assert wheel.name == f"calc_engine-{calc_engine.VERSION}-py3-none-any.whl"
    assert set(ENGINE) < set(_unpacked(wheel))


def _unpacked(wheel: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(wheel) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


# --- image ----------------------------------------------------------------------------------------------------------------


def test_the_image_says_what_it_belongs_to(target: Path, files: BrowserFiles) -> None:
    """Its head names build and engine, and the worker beside it knows the same build: it refuses any other."""
    image = gzip.decompress((target / files.engine / "image.gz").read_bytes())
    length = int.from_bytes(image[4:8], "little")
    head = json.loads(image[8 : 8 + length])
    worker = (target / files.engine / "benchleaf-worker.js").read_text(encoding="utf-8")
    assert (image[:4], head["engine"]) == (b"BNLM", calc_engine.VERSION)
    assert f'"build":"{head["build"]}"' in worker


def test_a_library_that_has_changed_is_noticed(tmp_path: Path) -> None:
    """A module that is to be replaced and is no longer there stops the build of the image with its name."""
    with zipfile.ZipFile(tmp_path / "library.zip", "w") as library:
        library.writestr("os.py", "")
    with pytest.raises(KeyError, match=re.escape("There is no item named 'pyodide/webloop.py' in the archive")):
        write_slim_library(tmp_path / "library.zip", tmp_path / "slim")


def test_an_engine_that_fails_makes_no_image() -> None:
    """An engine that cannot answer its own examples is named in the fault, in one line."""
    broken = {**ENGINE, "calc_engine/page.py": b"raise RuntimeError('it is broken')\n"}
    with pytest.raises(ImageFault) as caught:
        make_image(RUNTIME, broken, "known")
    assert caught.value.why == "RuntimeError: it is broken"


def test_without_node_the_site_is_built_without_an_image(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The author is told in one line, the stock start serves, and the next build tries again."""
    with monkeypatch.context() as without:
        without.setenv("PATH", "/nowhere")
        found, warnings = _build(tmp_path / "site", tmp_path / "cache")
    assert warnings == [
        "No memory image of the engine could be made, so it will start slowly in the page: Node.js is not installed."
    ]
    assert not found.has_image
    assert {Path(name).name for name in found.files} == {
        "benchleaf.js", "wall.js", "benchleaf-words.js", "benchleaf-worker.js", "runtime.js", "wasm.gz", "stdlib.zip", "engine.whl",
        "atkinson-hyperlegible-mono.woff2", "atkinson-hyperlegible-next.woff2",
    }  # fmt: skip
    assert not list((tmp_path / "cache").iterdir())


# --- the whole ------------------------------------------------------------------------------------------------------------


def test_two_builds_give_the_same_bytes(target: Path, files: BrowserFiles, tmp_path: Path) -> None:
    """A build from an empty cache and one from a full one differ in nothing, the memory image included."""
    again, warnings = _build(tmp_path / "site", tmp_path / "cache")
    assert warnings == []
    assert again == files
    assert _content(tmp_path / "site") == _content(target)


def test_what_has_not_changed_is_not_made_again(files: BrowserFiles, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second build starts neither bundler nor runtime."""

    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("something was started")

    monkeypatch.setattr(subprocess, "run", refuse)
    again, _ = _build(tmp_path / "site")
    assert again == files


@pytest.mark.usefixtures("files")
def test_a_damaged_cache_is_not_believed(target: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A byte of the kept image or of the kept site is another: it is said, and both are made anew."""
    cache = tmp_path / "cache"
    shutil.copytree(CACHE, cache)
    for kept in (*cache.glob("image-*"), *cache.glob("site-*/assets/engine-*/image.gz")):
        if kept.suffix != ".json":
            content = bytearray(kept.read_bytes())
            content[-9] ^= 1
            kept.write_bytes(content)
    made = gzip.decompress(next(target.glob("engine-*/image.gz")).read_bytes())
    monkeypatch.setattr("build_hooks.bundle.make_image", lambda *_: made)
    _, warnings = _build(tmp_path / "site", cache)
    assert [re.sub(r"-[0-9a-f]{16}", "", warning.removeprefix(f"{cache.as_posix()}/")) for warning in warnings] == [
        f"{name} was changed after it was made. It is thrown away and made anew." for name in ("site", "image")
    ]
    assert _content(tmp_path / "site") == _content(target)
    assert _build(tmp_path / "site", cache)[1] == []


def test_a_changed_package_stops_the_build(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is written with it."""
    monkeypatch.setattr("build_hooks.bundle.packages.RECORDED", tmp_path / "digests.json")
    (tmp_path / "digests.json").write_text("{}", encoding="utf-8")
    with pytest.raises(PackageChangedError, match=re.escape("is not the file that was recorded. Run “npm ci” and build again;")):
        _build(tmp_path / "site")
    assert not (tmp_path / "site").exists()


@pytest.mark.usefixtures("files")
def test_what_a_wheel_carries_needs_no_packages(target: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Copied with its record, the same entry of the cache serves where npm has put nothing, and starts no program."""
    carry(MODULES, CACHE, tmp_path / "ready")
    monkeypatch.setattr("build_hooks.bundle.CARRIED", tmp_path / "ready")
    monkeypatch.setattr(subprocess, "run", None)
    build_browser_files(tmp_path / "site", tmp_path / "nowhere", tmp_path / "nothing", print)
    assert _content(tmp_path / "site") == _content(target)
    assert not (tmp_path / "nothing").exists()


@pytest.mark.parametrize("change", ["carried", "engine"])
def test_what_a_wheel_carries_is_checked(change: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that was changed after it was installed stops the build: one that is carried, or one that they were made from."""
    carry(MODULES, CACHE, tmp_path / "ready")
    monkeypatch.setattr("build_hooks.bundle.CARRIED", tmp_path / "ready")
    if change == "carried":
        next(tmp_path.rglob("wall.js")).write_text("", encoding="utf-8")
    else:
        monkeypatch.setattr("build_hooks.bundle.engine_files", lambda: {**ENGINE, "calc_engine/page.py": b""})
    with pytest.raises(PackageChangedError) as caught:
        build_browser_files(tmp_path / "site", MODULES, tmp_path / "cache", print)
    assert str(caught.value) == (
        "The installed files of benchleaf are not those of its wheel: one was changed or is missing. "
        "Install it again, with pip install --force-reinstall --no-deps and the wheel."
    )


def test_a_wheel_is_not_made_of_half_the_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without Node there is no memory image, and a wheel without one would start slowly everywhere."""
    monkeypatch.setenv("PATH", "/nowhere")
    with pytest.raises(PackageChangedError) as caught:
        carry(MODULES, tmp_path / "cache", tmp_path / "ready")
    assert str(caught.value) == (
        "A wheel needs every file. No memory image of the engine could be made, so it will start slowly in the page: "
        "Node.js is not installed."
    )
    assert not (tmp_path / "ready").exists()


def test_the_page_knows_its_engines_scripts(target: Path, files: BrowserFiles) -> None:
    """It runs none that is another."""
    script = (target / "benchleaf.js").read_text(encoding="utf-8")
    for name in ("runtime.js", "benchleaf-worker.js"):
        digest = hashlib.sha256((target / files.engine / name).read_bytes()).hexdigest()
        assert f'"file":"{name}"' in script
        assert f'"stored":"{digest}"' in script


def test_every_calculation_and_every_verdict_has_a_known_question() -> None:
    """Each is asked for in the words that its answer panel has for it."""
    known = known_answers()
    assert {name for name in known if ":" not in name} == set(calc_engine.CATALOGUE)
    assert {name for name in known if ":" in name} == {f"practice:{verb}" for verb in practice.VERBS}
    replies = [calc_engine.answer("pack-clearance", json.loads(asked["request"]))["result"] for asked in known["pack-clearance"]]
    assert {(reply["verdict"], reply["certain"]) for reply in replies} == set(
        itertools.product(("low", "in", "high"), (True, False))
    )
    choices = [calc_engine.answer("choose-parts", json.loads(asked["request"]))["result"] for asked in known["choose-parts"]]
    assert {reply["feasible"] for reply in choices} == {True, False}
    drums = [calc_engine.answer("set-clearances", json.loads(asked["request"]))["result"] for asked in known["set-clearances"]]
    assert {"measure", "fit", "cannot"} <= {reply["next"] for reply in drums}
    asked = known["convert"][0]
    right = calc_engine.answer_for_page("convert", asked["request"])
    assert hashlib.sha256(right.encode()).hexdigest() == asked["answer"]


def test_the_engine_of_an_older_build_is_taken_away(target: Path, files: BrowserFiles) -> None:
    """Beside the page's script lies one engine: its own."""
    (target / "engine-0123456789abcdef").mkdir()
    _build(target)
    assert [path.name for path in target.glob("engine-*")] == [files.engine]


def test_files_are_listed_for_keeping(target: Path, files: BrowserFiles) -> None:
    """What a service worker is to keep is what was written, no more and no less."""
    assert sorted(files.files) == sorted(_content(target))
    assert files.scripts == ("benchleaf.js",)


def test_the_manifest_tells_the_truth(target: Path, files: BrowserFiles) -> None:
    """Lengths and digests that the worker checks are those of the files beside it."""
    worker = (target / files.engine / "benchleaf-worker.js").read_text(encoding="utf-8")
    found = dict(re.findall(r'"file":"([\w.]+)","bytes":\d+,"stored":"([0-9a-f]{64})"', worker))
    assert set(found) == {"wasm.gz", "image.gz", "stdlib.zip", "engine.whl"}
    for name, digest in found.items():
        assert hashlib.sha256((target / files.engine / name).read_bytes()).hexdigest() == digest


def test_no_host_is_named(target: Path) -> None:
    """No script of ours names an address to fetch from; the one address in them is the name of a vocabulary."""
    scripts = "".join(path.read_text(encoding="utf-8") for path in target.rglob("*.js"))
    assert set(re.findall(r"https?://[\w.-]+", scripts)) <= {"http://www.w3.org"}


def test_a_fault_in_a_script_stops_the_build(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """The bundler's own message reaches the author."""
    (tmp_path / "main.js").write_text("let let = ;", encoding="utf-8")
    monkeypatch.setattr("build_hooks.bundle.assets.BROWSER", tmp_path)
    with pytest.raises(subprocess.CalledProcessError):
        bundled(MODULES, "main.js", {})
    assert "main.js:1:4" in capfd.readouterr().err


def test_without_packages_the_remedy_is_told(tmp_path: Path) -> None:
    """Without npm's packages the author is told what to run."""
    with pytest.raises(FileNotFoundError, match=re.escape("run “npm ci” first.")):
        bundled(tmp_path, "main.js", {})


def test_a_copy_for_a_folder_carries_every_part_as_text(target: Path, files: BrowserFiles, tmp_path: Path) -> None:
    """Each part that a page on file:// cannot fetch is in a script, unchanged, and not there a second time."""
    engine = tmp_path / "engine"
    shutil.copytree(target / files.engine, engine)
    wasm = (engine / "wasm.gz").read_bytes()
    write_inlined_parts(engine)
    assert sorted(path.name for path in (engine / "inlined").iterdir()) == [
        "engine.js", "image.js", "stdlib.js", "wasm.js", "worker.js",
    ]  # fmt: skip
    assert sorted(path.name for path in engine.iterdir()) == ["benchleaf-worker.js", "inlined", "runtime.js"]
    assert _inlined(engine, "wasm") == wasm
    worker = gzip.decompress(_inlined(engine, "worker"))
    assert worker == (engine / "runtime.js").read_bytes() + b"\n" + (engine / "benchleaf-worker.js").read_bytes()


def _inlined(engine: Path, name: str) -> bytes:
    text = (engine / "inlined" / f"{name}.js").read_text(encoding="ascii")
    found = re.fullmatch(rf'benchleafPart\("{name}","([\w+/=]+)"\);\n', text)
    assert found is not None
    return base64.b64decode(found[1], validate=True)


# --- a manual's own calculations --------------------------------------------------------------------------------------------


@pytest.fixture
def own() -> Iterator[dict[str, str]]:
    """The text of one by the name of its file; it is in the catalogue."""
    calc_engine.set_own(calc_engine.calculations_in(calc_engine.load_own("pan_depth", SOURCE, "pan_depth.py")))
    yield {"pan_depth": SOURCE}
    calc_engine.set_own(())


@pytest.mark.usefixtures("files")
def test_own_calculations_go_into_what_a_wheel_carries(
    own: dict[str, str], target: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without npm's packages: engine and image are made anew, all else is the same, and what was made is found again by its text."""
    carry(MODULES, CACHE, tmp_path / "ready")
    monkeypatch.setattr("build_hooks.bundle.CARRIED", tmp_path / "ready")
    warnings: list[str] = []

    def build(site: str, sources: dict[str, str]) -> BrowserFiles:
        with browser_bundle(tmp_path / "nowhere", tmp_path / "cache", warnings.append, sources) as bundle:
            return bundle.copy_to(tmp_path / site)

    files = build("site", own)
    assert (files.has_image, warnings) == (True, [])
    engine = tmp_path / "site" / files.engine
    assert {f"own_calculations/{name}.pyc" for name in ("__init__", "pan_depth")} < set(_unpacked(engine / "engine.whl"))
    known = re.search(r'"pan-depth":(\[[^]]+\])', (engine / "benchleaf-worker.js").read_text(encoding="utf-8"))
    assert known is not None
    assert len(json.loads(known[1])) == 3
    there, here = _content(target), _content(tmp_path / "site")
    assert {name for name in there if not name.startswith("engine-") and there[name] != here[name]} == {"benchleaf.js"}
    with monkeypatch.context() as without:
        without.setattr(subprocess, "run", None)
        assert build("again", own) == files
    monkeypatch.setenv("PATH", "/nowhere")
    other = build("other", {"pan_depth": f"{SOURCE}\n"})
    assert (other.has_image, other.engine == files.engine) == (False, False)
    assert warnings == [
        "No memory image of the engine could be made, so it will start slowly in the page: Node.js is not installed."
    ]
