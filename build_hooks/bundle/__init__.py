"""What the browser runs: the page's script, the engine with its runtime, and the memory image it starts from.

Everything that belongs to one build of the engine lies in one folder whose name says its content, so that a server may
keep it for ever and half of one edition can never meet half of another.

All of it is the same for every manual. It is therefore made once, as an entry of a cache whose name says what it was made from, and
found there by that name. A wheel carries such an entry among its own files; where there is none, it is made with npm's packages.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import calc_engine
from build_hooks.bundle.assets import bundled, worker_script
from build_hooks.bundle.folder import SCRIPTS, write_inlined_parts
from build_hooks.bundle.image import BROWSER, ImageFault, make_image
from build_hooks.bundle.kept import copy_entry, forget_all_but, is_sound, put_away, throw_away
from build_hooks.bundle.known import known_answers
from build_hooks.bundle.packages import FONTS, PackageChangedError, check_packages, recorded_digests
from build_hooks.bundle.wheel import engine_files, engine_wheel

__all__ = [
    "CARRIED",
    "BrowserFiles",
    "Bundle",
    "PackageChangedError",
    "browser_bundle",
    "build_browser_files",
    "carry",
    "write_inlined_parts",
]

CARRIED: Final = Path(__file__).parent / "ready"
"""Where a wheel carries the browser's files. A checkout has no such folder."""

_RUNTIME: Final = "pyodide/"
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
# What goes into a site as it is, and what the files of a site are made of or by: each by the file that it is bundled from.
_ASSETS: Final = "assets"
_PARTS: Final = "parts"
_OF_PAGES: Final = {"wall.js": "wall/main.js", "benchleaf-words.js": "glossary/main.js"}
_OF_A_SITE: Final = ("search/main.js", "search/make-index.js", "offline/register.js", "offline/service-worker.js")


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


@dataclass(frozen=True, slots=True)
class Bundle:
    """The browser's files, checked, before they go into a site.

    Attributes:
        folder: where they are.
    """

    folder: Path

    def script(self, entry: str) -> bytes:
        """A script that a file of the site is made of.

        Args:
            entry: the file of the browser folder that it was bundled from.
        """
        return (self.folder / _PARTS / entry).read_bytes()

    def copy_to(self, target: Path) -> BrowserFiles:
        """Copies what goes into a site as it is. An engine of another build is removed from there.

        Args:
            target: folder of the site to write into.

        Returns:
            What was written.
        """
        assets = self.folder / _ASSETS
        (engine,) = (path.name for path in assets.glob("engine-*"))
        for old in target.glob("engine-*"):
            if old.name != engine:
                shutil.rmtree(old)
        shutil.copytree(assets, target, dirs_exist_ok=True)
        files = tuple(sorted(path.relative_to(assets).as_posix() for path in assets.rglob("*") if path.is_file()))
        return BrowserFiles(("benchleaf.js",), files, engine, f"{engine}/image.gz" in files)


def build_browser_files(target: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> BrowserFiles:
    """Writes the browser's files of every page into a site.

    Args:
        target: folder of the site to write into.
        node_modules: see `browser_bundle`.
        cache: see `browser_bundle`.
        warn: see `browser_bundle`.

    Returns:
        What was written.
    """
    with browser_bundle(node_modules, cache, warn) as bundle:
        return bundle.copy_to(target)


@contextmanager
def browser_bundle(node_modules: Path, cache: Path, warn: Callable[[str], None]) -> Iterator[Bundle]:
    """The browser's files: those that the wheel carries, those of an earlier build, or made now.

    Args:
        node_modules: where npm has put the runtime and the bundler; not looked at where a wheel carries the files.
        cache: a folder that may be kept between builds.
        warn: is told in one line why there is no memory image, when there is none.

    Yields:
        The files. They may be gone afterwards.

    Raises:
        PackageChangedError: what they were to be taken from is not what was recorded.
    """
    made_from = _made_from()
    if CARRIED.is_dir():
        yield Bundle(_carried(f"site-{_hash(made_from)}"))
        return
    check_packages(node_modules)
    kept = cache / f"site-{_hash(made_from)}"
    if _is_kept(kept, warn):
        yield Bundle(kept)
        return
    cache.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=cache) as name:
        made = Path(name) / "made"
        made.mkdir()
        if _make(made_from, made, node_modules, cache, warn):
            put_away(made, kept)
            forget_all_but(_KEPT, cache, "site-*")
            made = kept
        # Otherwise not kept: what was missing may be there the next time.
        yield Bundle(made)


def carry(node_modules: Path, cache: Path, target: Path) -> None:
    """Copies the browser's files, complete and with their record, to where a wheel is put together.

    Args:
        node_modules: where npm has put the runtime and the bundler.
        cache: a folder that may be kept between builds.
        target: what `CARRIED` will be in the wheel.

    Raises:
        PackageChangedError: a file of npm's packages is not what was recorded, or the files could not all be made.
    """
    told: list[str] = []
    with browser_bundle(node_modules, cache, told.append) as bundle:
        if not bundle.folder.name.startswith("site-"):
            raise PackageChangedError(f"A wheel needs every file. {told[-1]}")
        target.mkdir(parents=True, exist_ok=True)
        copy_entry(bundle.folder, target / bundle.folder.name)


def _carried(name: str) -> Path:
    if is_sound(CARRIED / name):
        return CARRIED / name
    raise PackageChangedError(
        "The installed files of benchleaf are not those of its wheel: one was changed or is missing. "
        "Install it again, with pip install --force-reinstall --no-deps and the wheel."
    )


def _is_kept(kept: Path, warn: Callable[[str], None]) -> bool:
    """Whether an entry of the cache can be used; a damaged one is taken out of it."""
    if not kept.exists():
        return False
    if is_sound(kept):
        return True
    warn(f"{kept.as_posix()} was changed after it was made. It is thrown away and made anew.")
    throw_away(kept)
    return False


def _made_from() -> dict[str, bytes]:
    """Everything that the result depends on: the engine, our scripts, the modules that put them together, and what was recorded of npm's."""
    npm = {f"npm/{name}": digest.encode() for name, digest in recorded_digests().items()}
    return {**engine_files(), **_browser_sources(), **npm}


def _image_made_from(made_from: Mapping[str, bytes]) -> str:
    """What a memory image depends on; a change of a page's script needs no new one."""
    makers = ("calc_engine/", f"npm/{_RUNTIME}", *_IMAGE_MAKERS)
    return _hash({name: content for name, content in made_from.items() if name.startswith(makers)})


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


def _make(made_from: Mapping[str, bytes], made: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> bool:
    """Makes everything; returns whether nothing is missing."""
    assets, build = made / _ASSETS, _image_made_from(made_from)
    engine = {name: content for name, content in made_from.items() if name.startswith("calc_engine/")}
    image = _image(engine, build, node_modules / _RUNTIME, cache, warn)
    described = _write_engine(assets, engine, build, image, node_modules)
    (assets / "benchleaf.js").write_bytes(bundled(node_modules, "main.js", {"BENCHLEAF_ENGINE": json.dumps(described)}))
    for name, entry in _OF_PAGES.items():
        (assets / name).write_bytes(bundled(node_modules, entry, {}))
    (assets / "fonts").mkdir()
    for name, file in FONTS.items():
        shutil.copyfile(node_modules / file, assets / "fonts" / name)
    for entry in _OF_A_SITE:
        (made / _PARTS / entry).parent.mkdir(parents=True, exist_ok=True)
        (made / _PARTS / entry).write_bytes(bundled(node_modules, entry, {}))
    return image is not None


def _write_engine(
    assets: Path, engine: Mapping[str, bytes], build: str, image: bytes | None, node_modules: Path
) -> dict[str, Any]:
    """Writes the engine's folder; returns what the page's script is to know of it."""
    runtime = {name: (node_modules / _RUNTIME / name).read_bytes() for name in _RUNTIME_FILES}
    with TemporaryDirectory() as name:
        wheel = engine_wheel(dict(engine), Path(name)).read_bytes()
    contents = {"wasm": runtime["pyodide.asm.wasm"], "stdlib": runtime["python_stdlib.zip"], "engine": wheel}
    parts = {name: _Part.of(name, content) for name, content in (contents | ({"image": image} if image else {})).items()}
    described = {name: part.described() for name, part in parts.items()}
    manifest = {
        "build": build,
        "engine": calc_engine.VERSION,
        "runtime": json.loads(runtime["pyodide-lock.json"])["info"],
        "parts": described,
        "known": known_answers(),
    }
    files = {part.file: part.stored for part in parts.values()}
    files["runtime.js"] = runtime["pyodide.asm.js"]
    files["benchleaf-worker.js"] = worker_script(node_modules, manifest)
    folder = f"engine-{_hash(files)}"
    (assets / folder).mkdir(parents=True)
    for name, content in files.items():
        (assets / folder / name).write_bytes(content)
    scripts = [_Part(name, files[name], files[name]).described() for name in SCRIPTS]
    return {"folder": folder, "parts": described, "scripts": scripts}


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


def _image(engine: Mapping[str, bytes], build: str, runtime: Path, cache: Path, warn: Callable[[str], None]) -> bytes | None:
    kept = cache / f"image-{build}"
    if not _is_kept(kept, warn):
        try:
            image = make_image(runtime, engine, build)
        except ImageFault as fault:
            warn(f"No memory image of the engine could be made, so it will start slowly in the page: {fault.why}.")
            return None
        # A name of its own: another build may be making the same.
        with TemporaryDirectory(dir=cache) as name:
            (Path(name) / "image").write_bytes(image)
            put_away(Path(name) / "image", kept)
        forget_all_but(_KEPT, cache, "image-*")
    return kept.read_bytes()
