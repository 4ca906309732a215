"""The pictures that pages show in photo blocks: which files, and beside which step on the wall."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from build_hooks.blocks.context import Context
from build_hooks.blocks.photo import PhotoBody, Step, file_of, photo_of, step_of
from build_hooks.library import Library
from build_hooks.model import read_model
from build_hooks.page.pages import Pages
from build_hooks.page.rendering import context_of
from build_hooks.pictures import Photo

__all__ = ["shown_pictures", "step_photos"]


def shown_pictures(pages: Pages, library: Library) -> frozenset[str]:
    """The files that photo blocks name, below the docs folder.

    Args:
        pages: the authors' pages.
        library: what was loaded.
    """
    return frozenset(file_of(body, context) for body, context in _blocks(pages, library))


def step_photos(pages: Pages, library: Library) -> Mapping[Step, tuple[Photo, ...]]:
    """The pictures for the wall, by the step that they are beside.

    Args:
        pages: the pages; all their blocks are sound.
        library: what was loaded.
    """
    found: dict[Step, tuple[Photo, ...]] = {}
    for body, context in _blocks(pages, library):
        step = step_of(body, context)
        if step is not None:
            found[step] = (*found.get(step, ()), photo_of(body, context))
    return found


def _blocks(pages: Pages, library: Library) -> Iterator[tuple[PhotoBody, Context]]:
    for path, page in pages.by_path.items():
        for fence, body in zip(page.source.fences, page.source.bodies, strict=True):
            if fence.name == "photo" and body is not None:
                typed, _ = read_model(PhotoBody, body, library.shop.units)
                if typed is not None:
                    yield typed, context_of(page.source, path, library)
