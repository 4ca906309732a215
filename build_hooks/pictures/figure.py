"""A picture with its call-outs as an element: numbers on the picture, their words in a list beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import quote

from calc_engine import Element, element

__all__ = ["CallOut", "Photo", "photo_figure", "wall_photo"]

# In hundredths of the picture's longer side: the disc that holds the number, and how far it stands off its point.
_DISC: Final = 3.2
_DISC_ON_WALL: Final = 5.0
_APART: Final = 2.6
_WIDE: Final = 2.2


@dataclass(frozen=True, slots=True)
class CallOut:
    """A point of a picture and what is to be seen there.

    Attributes:
        across: from the left edge, in percent of the width.
        down: from the upper edge, in percent of the height.
        words: what is there.
    """

    across: float
    down: float
    words: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture that a page shows.

    Attributes:
        path: below the docs folder and so below the site.
        shows: what is to be seen, for those who cannot.
        width: of the picture in the site, in pixels.
        height: likewise.
        callouts: its numbered points, in their order.
    """

    path: str
    shows: str
    width: int
    height: int
    callouts: tuple[CallOut, ...] = ()

    def address(self, root: str) -> str:
        """Where the picture is, from a page that the top of the site is `root` away from."""
        return root + quote(self.path)


def photo_figure(photo: Photo, root: str, identity: str) -> Element:
    """The picture in a page, with a link that opens it large.

    Args:
        photo: the picture.
        root: from the page to the top of the site.
        identity: an id that nothing else of the page has.
    """
    words = [element("li", {}, callout.words) for callout in photo.callouts]
    link = {"class": "bench-photo-large", "data-bench": "photo-large", "href": photo.address(root)}
    return element(
        "bench-photo",
        {"data-bench": "photo", "id": identity},
        element(
            "figure",
            {"class": "bench-photo"},
            element("div", {"class": "bench-photo-frame"}, _image(photo, root), _points(photo, _DISC)),
            element(
                "div",
                {"class": "bench-photo-beside"},
                element("figcaption", {}, photo.shows),
                element("ol", {"class": "bench-photo-words"}, *words) if words else None,
                element("p", {}, element("a", link, "Larger")),
            ),
        ),
    )


def wall_photo(photo: Photo, root: str) -> list[Element]:
    """The picture as the wall shows it beside a step, and below it the words of its call-outs.

    Each is a piece by itself: words that a screen has no room for beneath the picture go on to the next one.
    """
    kind = "wall-chunk wall-photo wall-photo-wide" if photo.width > _WIDE * photo.height else "wall-chunk wall-photo"
    frame = element("div", {"class": "bench-photo-frame"}, _image(photo, root, lazily=False), _points(photo, _DISC_ON_WALL))
    words = [
        element("p", {"class": "wall-chunk wall-photo-words", "dir": "auto"}, f"{number} {callout.words}")
        for number, callout in enumerate(photo.callouts, 1)
    ]
    return [element("div", {"class": kind, "data-bench": "wall-photo"}, frame), *words]


def _image(photo: Photo, root: str, *, lazily: bool = True) -> Element:
    size = {"width": str(photo.width), "height": str(photo.height)}
    return element("img", {"src": photo.address(root), "alt": photo.shows, **size, **({"loading": "lazy"} if lazily else {})})


def _points(photo: Photo, share: float) -> Element | None:
    """The numbers on the picture. Those who cannot see it have the list."""
    if not photo.callouts:
        return None
    disc = max(photo.width, photo.height) * share / 100
    return element(
        "svg",
        {"class": "bench-photo-points", "viewBox": f"0 0 {photo.width} {photo.height}", "aria-hidden": "true"},
        *(part for number, callout in enumerate(photo.callouts, 1) for part in _point(photo, callout, number, disc)),
    )


def _point(photo: Photo, callout: CallOut, number: int, disc: float) -> Sequence[Element]:
    """A dot at the point and a disc with the number beside it, towards the middle, so that it hides nothing and is never cut."""
    x, y = photo.width * callout.across / 100, photo.height * callout.down / 100
    away = disc * _APART / 2**0.5
    at_x = x + (away if callout.across < 50 else -away)  # noqa: PLR2004 - the middle
    at_y = y + (away if callout.down < 50 else -away)  # noqa: PLR2004 - the middle
    line = {"x1": _short(x), "y1": _short(y), "x2": _short(at_x), "y2": _short(at_y)}
    return (
        element("line", {"class": "bench-photo-rim", **line, "stroke-width": _short(disc / 3)}),
        element("line", {"class": "bench-photo-line", **line, "stroke-width": _short(disc / 8)}),
        _circle("bench-photo-dot", x, y, disc / 4, disc / 10),
        _circle("bench-photo-disc", at_x, at_y, disc, disc / 8),
        element(
            "text",
            {"x": _short(at_x), "y": _short(at_y), "font-size": _short(disc * 1.4), "dy": "0.36em", "text-anchor": "middle"},
            str(number),
        ),
    )


def _circle(kind: str, x: float, y: float, radius: float, rim: float) -> Element:
    return element("circle", {"class": kind, "cx": _short(x), "cy": _short(y), "r": _short(radius), "stroke-width": _short(rim)})


def _short(value: float) -> str:
    return f"{value:.1f}"
