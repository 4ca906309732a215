"""The photograph whose call-outs are to be placed, and the folders of the pages that may show it."""

from __future__ import annotations

import os
import posixpath
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from build_hooks.library import pages_of
from build_hooks.pictures import Picture, PictureFault, fault_of, is_picture, picture_of
from build_hooks.scaffold import NotWrittenError

__all__ = ["Subject", "subject_of"]


@dataclass(frozen=True, slots=True)
class Subject:
    """A photograph of a manual.

    Attributes:
        path: below the docs folder.
        picture: as the site shows it.
        docs: the name of the docs folder, as the author calls it.
        folders: those that pages stand in, below the docs folder; the top is empty.
        nearest: the one of them whose page most likely shows it.
    """

    path: str
    picture: Picture
    docs: str
    folders: tuple[str, ...]
    nearest: str

    def file_from(self, folder: str) -> str:
        """The photograph as a page of a folder names it."""
        return posixpath.relpath(self.path, folder or ".")

    def folder_for(self, file: str) -> str | None:
        """The folder whose pages name the photograph so; None if none does."""
        leading = [
            folder for folder in (self.nearest, *self.folders) if posixpath.normpath(posixpath.join(folder, file)) == self.path
        ]
        # Several do where a name goes up and down again.
        shortest = (folder for folder in leading if self.file_from(folder) == posixpath.normpath(file))
        return next(shortest, leading[0] if leading else None)


def subject_of(file: Path, docs: Path) -> Subject:
    """Looks at the file that an author named.

    Args:
        file: the file.
        docs: the docs folder.

    Returns:
        The photograph.

    Raises:
        NotWrittenError: no page can show it. Its lines say everything that is in the way, and what to do.
    """
    if not docs.is_dir():
        raise NotWrittenError(
            f"{docs.as_posix()}: there is no such folder. Call it in the folder of a manual, or name its docs folder with --docs."
        )
    if file.is_dir():
        raise NotWrittenError(f"{file.as_posix()} is a folder. Name a photograph in it.")
    if not file.is_file():
        example = f"{docs.as_posix()}/units/oak-4/photos/drum.jpg"
        raise NotWrittenError(f"{file.as_posix()}: there is no such file. Name the photograph from here, for example {example}.")
    found = [*_faults_of_place(file, docs), *_faults_of_content(file)]
    if found:
        raise NotWrittenError(*(f"{file.as_posix()}: {fault}" for fault in found))
    path = _below(file, docs)
    pages = {page.relative_to(docs).parent.as_posix() for page in pages_of(docs)}
    folders = {"" if folder == "." else folder for folder in pages}
    above = ["" if folder == "." else folder for folder in map(str, PurePosixPath(path).parents)]
    nearest = next((folder for folder in above if folder in folders), above[-1])
    return Subject(path, picture_of(file), docs.as_posix(), tuple(sorted({*folders, nearest})), nearest)


def _faults_of_place(file: Path, docs: Path) -> Iterator[str]:
    if not file.resolve().is_relative_to(docs.resolve()):
        place = f"{docs.as_posix()}/units/oak-4/photos/{file.name}"
        yield f"This is outside {docs.as_posix()}, where no page can show it. Put it beside its page, for example as {place}."
    elif any(part.startswith(".") for part in _below(file, docs).split("/")):
        yield "Hidden files are not read. Take the full stop from the beginning of its name, or of its folder's."


def _faults_of_content(file: Path) -> Iterator[str]:
    fault = fault_of(file)
    if fault is None and not is_picture(file):
        # Told by what is in it; what is a picture all the same goes by its name.
        try:
            picture_of(file)
            yield "A picture is not called so. Let its name end in .jpg, .png or .webp."
        except PictureFault as refused:
            fault = refused
    if fault is not None:
        yield f"{fault.message} {fault.remedy}"


def _below(file: Path, docs: Path) -> str:
    """The path below the docs folder, as it is written; where a link leads in from elsewhere, as it is in truth."""
    written = Path(os.path.abspath(file)), Path(os.path.abspath(docs))  # noqa: PTH100 - links are kept
    here, there = written if written[0].is_relative_to(written[1]) else (file.resolve(), docs.resolve())
    return here.relative_to(there).as_posix()
