"""What the browser runs: the page's script, the engine with its runtime, and the memory image it starts from.

Everything that belongs to one build of the engine lies in one folder whose name says its content, so that a server may
keep it for ever and half of one edition can never meet half of another.

All of it is the same for every manual that has no calculations of its own. It is therefore made once, as an entry of a cache whose
name says what it was made from, and found there by that name. A wheel carries such an entry among its own files; where there is none,
it is made with npm's packages. For a manual with calculations of its own another entry is made from that one: it needs no packages, but
Node for its memory image.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from build_hooks.bundle.assets import bundled, filled, worker_script
from build_hooks.bundle.engine import RUNTIME_FILES, Engine, digest_of, runtime_in, write_engine
from build_hooks.bundle.folder import write_inlined_parts
from build_hooks.bundle.image import BROWSER, ImageFault, make_image
from build_hooks.bundle.kept import copy_entry, forget_all_but, is_sound, put_away, throw_away
from build_hooks.bundle.known import known_answers, known_answers_of
from build_hooks.bundle.packages import FONTS, PackageChangedError, check_packages, recorded_digests
from build_hooks.bundle.wheel import engine_files, own_files
from calc_engine import OWN_PACKAGE

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
_IMAGE_MAKERS: Final = (
    "engine/image/",
    "engine/worker/memory-image",
    "bundle/image",
    "bundle/slim",
    "bundle/warm",
    "bundle/wheel",
)
_OF_ENGINE: Final = ("calc_engine/", f"{OWN_PACKAGE}/")
_KEPT: Final = 4  # Builds kept in the cache: enough to go back and forth between a few states of the work.
# What goes into a site as it is, and what the files of a site are made of or by: each by the file that it is bundled from.
_ASSETS: Final = "assets"
_PARTS: Final = "parts"
_OF_PAGES: Final = {"wall.js": "wall/main.js", "benchleaf-words.js": "glossary/main.js"}
# What an engine with calculations of a manual's own is made of: the scripts that leave open what they are to know, and what else of the
# runtime makes an image.
_PAGE_SCRIPT: Final = "main.js"
_WORKER_SCRIPT: Final = "engine/worker/engine-worker.js"
_KNOWN: Final = "known.json"
_KEPT_OF_RUNTIME: Final = ("pyodide.mjs", "pyodide-lock.json")
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
def browser_bundle(
    node_modules: Path, cache: Path, warn: Callable[[str], None], own: Mapping[str, str] | None = None
) -> Iterator[Bundle]:
    """The browser's files: those that the wheel carries, those of an earlier build, or made now.

    Args:
        node_modules: where npm has put the runtime and the bundler; not looked at where a wheel carries the files.
        cache: a folder that may be kept between builds.
        warn: is told in one line why there is no memory image, when there is none.
        own: the text of each file of the manual's own calculations, by its name without ending; they are in the catalogue.

    Yields:
        The files. They may be gone afterwards.

    Raises:
        PackageChangedError: what they were to be taken from is not what was recorded.
    """
    made_from = _made_from()
    with _for_every_manual(made_from, node_modules, cache, warn) as bundle:
        if not own:
            yield bundle
            return
        names = [stem.replace("_", "-") for stem in sorted(own)]
        with_own = {**made_from, **own_files(own)}
        name = f"site-{digest_of(with_own)}"
        with _kept_or_made(
            cache, name, warn, lambda made: _make_own(bundle.folder, with_own, names, made, cache, warn)
        ) as folder:
            yield Bundle(folder)


@contextmanager
def _for_every_manual(
    made_from: Mapping[str, bytes], node_modules: Path, cache: Path, warn: Callable[[str], None]
) -> Iterator[Bundle]:
    """The files that do not depend on the manual."""
    name = f"site-{digest_of(made_from)}"
    if CARRIED.is_dir():
        yield Bundle(_carried(name))
        return
    check_packages(node_modules)
    with _kept_or_made(cache, name, warn, lambda made: _make(made_from, made, node_modules, cache, warn)) as folder:
        yield Bundle(folder)


@contextmanager
def _kept_or_made(cache: Path, name: str, warn: Callable[[str], None], make: Callable[[Path], bool]) -> Iterator[Path]:
    """An entry of the cache; where it is not there, made by what says whether nothing is missing in it."""
    kept = cache / name
    if _is_kept(kept, warn):
        yield kept
        return
    cache.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=cache) as folder:
        made = Path(folder) / "made"
        made.mkdir()
        if make(made):
            put_away(made, kept)
            forget_all_but(_KEPT, cache, "site-*")
            made = kept
        # Otherwise not kept: what was missing may be there the next time.
        yield made


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
    makers = (*_OF_ENGINE, f"npm/{_RUNTIME}", *_IMAGE_MAKERS)
    return digest_of({name: content for name, content in made_from.items() if name.startswith(makers)})


def _browser_sources() -> dict[str, bytes]:
    """Scripts of the browser and the modules that put them together. Style sheets lie beside the scripts, but go into a site uncached."""
    files = (path for path in BROWSER.rglob("*") if path.is_file() and path.suffix not in {".css", ".md"})
    scripts = {path.relative_to(BROWSER).as_posix(): path for path in files}
    makers = {f"bundle/{path.name}": path for path in Path(__file__).parent.glob("*.py")}
    return {name: path.read_bytes() for name, path in sorted((scripts | makers).items())}


def _make(made_from: Mapping[str, bytes], made: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> bool:
    """Makes everything; returns whether nothing is missing."""
    runtime = {name: (node_modules / _RUNTIME / name).read_bytes() for name in RUNTIME_FILES}
    assets, parts = made / _ASSETS, made / _PARTS
    assets.mkdir()
    for name, entry in _OF_PAGES.items():
        (assets / name).write_bytes(bundled(node_modules, entry, {}))
    (assets / "fonts").mkdir()
    for name, file in FONTS.items():
        shutil.copyfile(node_modules / file, assets / "fonts" / name)
    scripts = {entry: bundled(node_modules, entry, {}) for entry in (*_OF_A_SITE, _PAGE_SCRIPT)}
    scripts[_WORKER_SCRIPT] = worker_script(node_modules)
    known = known_answers()
    others = {f"{_RUNTIME}{name}": runtime[name] for name in _KEPT_OF_RUNTIME} | {_KNOWN: json.dumps(known).encode()}
    for name, content in (scripts | others).items():
        (parts / name).parent.mkdir(parents=True, exist_ok=True)
        (parts / name).write_bytes(content)
    files, build = _engine_files(made_from), _image_made_from(made_from)
    image = _image(files, build, runtime, cache, warn)
    _put_engine(made, Engine(files, build, image, known, runtime, scripts[_WORKER_SCRIPT]))
    return image is not None


def _engine_files(made_from: Mapping[str, bytes]) -> dict[str, bytes]:
    return {name: content for name, content in made_from.items() if name.startswith(_OF_ENGINE)}


def _make_own(
    base: Path, made_from: Mapping[str, bytes], names: Collection[str], made: Path, cache: Path, warn: Callable[[str], None]
) -> bool:
    """Makes the files of a manual with calculations of its own from those for every manual; returns whether nothing is missing."""
    shutil.copytree(base, made, dirs_exist_ok=True)
    parts = made / _PARTS
    (old,) = (made / _ASSETS).glob("engine-*")
    runtime = runtime_in(old) | {name: (parts / _RUNTIME / name).read_bytes() for name in _KEPT_OF_RUNTIME}
    shutil.rmtree(old)
    files, build = _engine_files(made_from), _image_made_from(made_from)
    image = _image(files, build, runtime, cache, warn, names)
    known = json.loads((parts / _KNOWN).read_bytes()) | known_answers_of(names)
    _put_engine(made, Engine(files, build, image, known, runtime, (parts / _WORKER_SCRIPT).read_bytes()))
    return image is not None


def _put_engine(made: Path, engine: Engine) -> None:
    """Writes the engine, and the page's script that knows it."""
    described = write_engine(made / _ASSETS, engine)
    script = (made / _PARTS / _PAGE_SCRIPT).read_bytes()
    (made / _ASSETS / "benchleaf.js").write_bytes(filled(script, "BENCHLEAF_ENGINE", described))


def _image(
    engine: Mapping[str, bytes],
    build: str,
    runtime: Mapping[str, bytes],
    cache: Path,
    warn: Callable[[str], None],
    own: Collection[str] = (),
) -> bytes | None:
    kept = cache / f"image-{build}"
    if not _is_kept(kept, warn):
        # A name of its own: another build may be making the same.
        with TemporaryDirectory(dir=cache) as name:
            package, made = Path(name) / "runtime", Path(name) / "image"
            package.mkdir()
            # Node asks the nearest of these what kind of script a file is; as in the runtime's own package, there are no modules.
            for file, content in {**runtime, "package.json": b"{}"}.items():
                (package / file).write_bytes(content)
            try:
                made.write_bytes(make_image(package, engine, build, own))
            except ImageFault as fault:
                warn(f"No memory image of the engine could be made, so it will start slowly in the page: {fault.why}.")
                return None
            put_away(made, kept)
        forget_all_but(_KEPT, cache, "image-*")
    return kept.read_bytes()
