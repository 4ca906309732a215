"""At which address of the site each file of a docs folder ends up, and which of them something else would hide."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from pathlib import PurePosixPath
from typing import Final

from build_hooks.reading.problems import START, Fault

__all__ = ["OWN_FOLDER", "SERVICE_WORKER", "address_of", "hidden_files"]

# Where in the site the scripts, styles and data of the build go.
OWN_FOLDER: Final = "assets/benchleaf"
SERVICE_WORKER: Final = "service-worker.js"


def address_of(source_path: str) -> str:
    """The path below the site of what a file becomes.

    Args:
        source_path: path below the docs folder, with forward slashes.
    """
    path = PurePosixPath(source_path)
    if path.suffix != ".md":
        return source_path
    folder = path.parent if path.stem in {"index", "README"} else path.with_suffix("")
    return (folder / "index.html").as_posix()


def hidden_files(files: Collection[str], made: Collection[str]) -> Iterator[tuple[str, Fault]]:
    """The files of authors that would not be seen: something else has their address.

    Addresses that differ in capitals only are taken for one, as many disks and sticks take them.

    Args:
        files: paths below the docs folder.
        made: addresses of what the build makes.

    Returns:
        Each file with its fault.
    """
    taken: Mapping[str, str] = {address.casefold(): address for address in made}
    first: dict[str, str] = {}
    for file in sorted(files):
        # Beside an index, the builder leaves out a README by itself.
        if PurePosixPath(file).name == "README.md" and str(PurePosixPath(file).with_name("index.md")) in files:
            continue
        address = address_of(file).casefold()
        other = first.setdefault(address, file)
        if address.startswith(f"{OWN_FOLDER}/"):
            yield file, Fault(START, "taken", f"The folder {OWN_FOLDER} is made by the build.", "Use another folder.")
        elif address in taken:
            message = f"The build makes {taken[address]} itself and would hide this."
            yield file, Fault(START, "taken", message, "Give it another name.")
        elif other != file:
            yield file, Fault(START, "taken", f"{other} has the same address in the site.", "Give one of them another name.")
