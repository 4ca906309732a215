"""What the browser runs: the page's script, the engine with its runtime, and the memory image it starts from.

Everything that belongs to one build of the engine lies in one folder whose name says its content, so that a server may
keep it for ever and half of one edition can never meet half of another.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import calc_engine
from build_hooks.bundle.assets import bundled, worker_script
from build_hooks.bundle.folder import SCRIPTS, write_inlined_parts
from build_hooks.bundle.image import BROWSER, ImageFault, make_image
from build_hooks.bundle.kept import forget_all_but, is_sound, put_away, throw_away
from build_hooks.bundle.known import known_answers
from build_hooks.bundle.packages import PackageChangedError, check_packages
from build_hooks.bundle.wheel import engine_files, engine_wheel

__all__ = ["BrowserFiles", "PackageChangedError", "build_browser_files", "write_inlined_parts"]

_RUNTIME_FILES: Final = ("pyodide.asm.wasm", "pyodide.asm.js", "pyodide.mjs", "python_stdlib.zip", "pyodide-lock.json")
_IMAGE_MAKERS: Final = (
    "engine/image/",
    "engine/worker/memory-image",
    "bundle/image",
    "bundle/slim",
    "bundle/warm",
    "bundle/wheel",
)
_KEPT: Final = 4  # Builds kept in the cache: enough to go back and forth between a few states of the work.


@dataclass(frozen=True, slots=True)
class BrowserFiles:
    """What was written.

    Attributes:
        scripts: for the pages, in order, relative to the target folder.
        files: every file, relative to the target folder, for a service worker to keep.
        engine: the engine's folder, relative to the target folder.
        has_image: whether the engine can start from its saved memory.
    """

    scripts: tuple[str, ...]
    files: tuple[str, ...]
    engine: str
    has_image: bool


def build_browser_files(target: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> BrowserFiles:
    """Writes the browser's files. What has not changed since an earlier build is taken from the cache.

    Args:
        target: folder of the site to write into.
        node_modules: where npm has put the runtime and the bundler.
        cache: a folder that may be kept between builds.
        warn: is told in one line why there is no memory image, when there is none.

    Returns:
        What was written.
    """
    runtime = node_modules / "pyodide"
    check_packages(node_modules)
    inputs = _Inputs(engine_files(), {name: (runtime / name).read_bytes() for name in _RUNTIME_FILES}, _browser_sources())
    kept = cache / f"site-{inputs.everything()}"
    if not _is_kept(kept, warn):
        cache.mkdir(parents=True, exist_ok=True)
        with TemporaryDirectory(dir=cache) as name:
            made = Path(name) / "made"
            made.mkdir()
            complete = _make(inputs, made, node_modules, cache, warn)
            if not complete:  # Not kept: what was missing may be there the next time.
                return _copy(made, target)
            put_away(made, kept)
        forget_all_but(_KEPT, cache, "site-*")
    return _copy(kept, target)


def _is_kept(kept: Path, warn: Callable[[str], None]) -> bool:
    """Whether an entry of the cache can be used; a damaged one is taken out of it."""
    if not kept.exists():
        return False
    if is_sound(kept):
        return True
    warn(f"{kept.as_posix()} was changed after it was made. It is thrown away and made anew.")
    throw_away(kept)
    return False


@dataclass(frozen=True, slots=True)
class _Inputs:
    """Everything that the result depends on."""

    engine: Mapping[str, bytes]
    runtime: Mapping[str, bytes]
    browser: Mapping[str, bytes]

    def image(self) -> str:
        """What a memory image depends on; a change of a page's script needs no new one."""
        makers = {name: text for name, text in self.browser.items() if name.startswith(_IMAGE_MAKERS)}
        return _hash({**self.engine, **self.runtime, **makers})

    def everything(self) -> str:
        """What all files depend on."""
        return _hash({**self.engine, **self.runtime, **self.browser})


def _browser_sources() -> dict[str, bytes]:
    """Scripts of the browser and the modules that put them together. Style sheets lie beside the scripts, but go into a site uncached."""
    files = (path for path in BROWSER.rglob("*") if path.is_file() and path.suffix not in {".css", ".md"})
    scripts = {path.relative_to(BROWSER).as_posix(): path for path in files}
    makers = {f"bundle/{path.name}": path for path in Path(__file__).parent.glob("*.py")}
    return {name: path.read_bytes() for name, path in sorted((scripts | makers).items())}


def _hash(files: Mapping[str, bytes]) -> str:
    digest = hashlib.sha256()
    for name, content in sorted(files.items()):
        digest.update(f"{name}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()[:16]


def _make(inputs: _Inputs, made: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> bool:
    """Makes everything; returns whether nothing is missing."""
    with TemporaryDirectory() as name:
        wheel = engine_wheel(dict(inputs.engine), Path(name))
        image = _image(inputs, node_modules / "pyodide", cache, warn)
        contents = {"wasm": inputs.runtime["pyodide.asm.wasm"], "stdlib": inputs.runtime["python_stdlib.zip"]}
        contents |= {"engine": wheel.read_bytes()} | ({"image": image} if image else {})
    parts = {name: _Part.of(name, content) for name, content in contents.items()}
    manifest = {
        "build": inputs.image(),
        "engine": calc_engine.VERSION,
        "runtime": json.loads(inputs.runtime["pyodide-lock.json"])["info"],
        "parts": {name: part.described() for name, part in parts.items()},
        "known": known_answers(),
    }
    files = {part.file: part.stored for part in parts.values()}
    files["runtime.js"] = inputs.runtime["pyodide.asm.js"]
    files["benchleaf-worker.js"] = worker_script(node_modules, manifest)
    folder = f"engine-{_hash(files)}"
    (made / folder).mkdir()
    for name, content in files.items():
        (made / folder / name).write_bytes(content)
    engine = {
        "folder": folder,
        "parts": {name: part.described() for name, part in parts.items()},
        "scripts": [_Part(name, files[name], files[name]).described() for name in SCRIPTS],
    }
    (made / "benchleaf.js").write_bytes(bundled(node_modules, "main.js", {"BENCHLEAF_ENGINE": json.dumps(engine)}))
    (made / "wall.js").write_bytes(bundled(node_modules, "wall/main.js", {}))
    return image is not None


@dataclass(frozen=True, slots=True)
class _Part:
    """A file that the engine fetches for itself."""

    file: str
    stored: bytes
    content: bytes

    @classmethod
    def of(cls, name: str, content: bytes) -> _Part:
        """What is not compressed already is stored compressed: the browser inflates it, so that any server will do."""
        if name in {"wasm", "image"}:
            return cls(f"{name}.gz", gzip.compress(content, 9, mtime=0), content)
        return cls({"stdlib": "stdlib.zip", "engine": "engine.whl"}[name], content, content)

    def described(self) -> dict[str, Any]:
        return {
            "file": self.file,
            "bytes": len(self.stored),
            "stored": hashlib.sha256(self.stored).hexdigest(),
            "content": hashlib.sha256(self.content).hexdigest(),
        }


def _image(inputs: _Inputs, runtime: Path, cache: Path, warn: Callable[[str], None]) -> bytes | None:
    kept = cache / f"image-{inputs.image()}"
    if not _is_kept(kept, warn):
        try:
            image = make_image(runtime, inputs.engine, inputs.image())
        except ImageFault as fault:
            warn(f"No memory image of the engine could be made, so it will start slowly in the page: {fault.why}.")
            return None
        # A name of its own: another build may be making the same.
        with TemporaryDirectory(dir=cache) as name:
            (Path(name) / "image").write_bytes(image)
            put_away(Path(name) / "image", kept)
        forget_all_but(_KEPT, cache, "image-*")
    return kept.read_bytes()


def _copy(made: Path, target: Path) -> BrowserFiles:
    (folder,) = (path.name for path in made.iterdir() if path.is_dir())
    for old in target.glob("engine-*"):
        if old.name != folder:
            shutil.rmtree(old)
    shutil.copytree(made, target, dirs_exist_ok=True)
    files = tuple(sorted(path.relative_to(made).as_posix() for path in made.rglob("*") if path.is_file()))
    return BrowserFiles(("benchleaf.js",), files, folder, f"{folder}/image.gz" in files)
