"""The standard library without what the engine never uses, for the memory image only.

The runtime imports an event loop, a package loader and all that those need before it runs a first line. None of it is
ever used by an engine that takes a text and gives a text, yet it would make up half of the image. The stock start uses
the whole library.
"""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import Final

__all__ = ["write_slim_library"]

_EVENT_LOOP = """
from pyodide_js._api import scheduleCallback  # the runtime expects to find it taken


def _initialize_event_loop():
    pass
"""

_PACKAGE_LOADER = """
from pyodide_js import loadedPackages  # the runtime expects to find it taken


class _Folder:
    def __init__(self, path):
        self.path = path

    def __str__(self):
        return self.path


SITE_PACKAGES = _Folder("/lib/python3.13/site-packages")
DSO_DIR = _Folder("/usr/lib")


def init_loaded_packages():
    pass
"""

_NO_ASYNCIO = """
def get_event_loop():
    raise RuntimeError("this image has no event loop")
"""

_RESOURCE_NAMES = """
class ResourceReader: ...


class Traversable: ...


class TraversableResources: ...
"""

_REPLACED: Final = {
    "pyodide/webloop.py": _EVENT_LOOP,
    "pyodide/_package_loader.py": _PACKAGE_LOADER,
    "pyodide/common.py": "",
    "asyncio/__init__.py": _NO_ASYNCIO,
    "importlib/resources/__init__.py": "",
    "importlib/resources/abc.py": _RESOURCE_NAMES,
}


def write_slim_library(library: Path, folder: Path) -> None:
    """Unpacks the library with the modules above replaced.

    Args:
        library: the runtime's zip of the standard library.
        folder: where to unpack it.

    Raises:
        KeyError: the library has no longer one of those modules; the list above must then be looked at again.
    """
    with zipfile.ZipFile(library) as whole:
        for name in _REPLACED:
            whole.getinfo(name)
        whole.extractall(folder)
    for name, text in _REPLACED.items():
        (folder / name).write_text(text, encoding="utf-8")
