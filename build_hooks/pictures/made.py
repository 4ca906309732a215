"""A picture as it goes into the site: turned upright, no larger than a screen shows, and nothing in it but what is seen.

It is decoded and encoded anew. Whatever a camera wrote beside the picture (place, time, serial numbers, a small copy, a film
behind its end) is therefore gone, whether anybody knew of it or not.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any, Final

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

__all__ = ["LONGEST_SIDE", "Picture", "PictureFault", "forget_all_but", "made_picture", "picture_of", "state_of"]

LONGEST_SIDE: Final = 1600
"""In pixels: as many as a tablet shows across, and enough to look closer."""

_MOST_BYTES: Final = 60_000_000
_MOST_PIXELS: Final = 120_000_000  # Telephones take 50 to 108 megapixels.
_SHORTEST_SIDE: Final = 16
_QUALITY: Final = 80
_FORMATS: Final = ("JPEG", "PNG", "WEBP")
# The kind of a HEIC or AVIF file is at its fifth byte (ISO/IEC 14496-12, 4.3; ISO/IEC 23008-12, annex B).
_BOX: Final = b"ftyp"
_HEIC: Final = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1")


class PictureFault(Exception):  # noqa: N818 - the author's fault, not ours
    """Why a file cannot be shown as a picture.

    Attributes:
        code: a short stable name.
        message: what is wrong.
        remedy: what would be right.
    """

    def __init__(self, code: str, message: str, remedy: str) -> None:
        super().__init__(message)
        self.code, self.message, self.remedy = code, message, remedy


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it goes into the site.

    Attributes:
        content: the file.
        width: in pixels.
        height: in pixels.
    """

    content: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class _Kept:
    """A picture that was made, and the state in which its file was."""

    state: tuple[int, ...]
    picture: Picture


# A build asks for each picture three or four times, and one that watches for all of them again and again.
_KEPT: Final[dict[Path, _Kept]] = {}


def picture_of(path: Path) -> Picture:
    """The picture of a file, which is read only when it has changed.

    Args:
        path: the file.

    Raises:
        PictureFault: it cannot be shown.
        OSError: it cannot be read.
    """
    # The times of the file are asked first: what is written while it is read gets it read again.
    state = state_of(path)
    kept = _KEPT.get(path)
    if kept is None or kept.state != state:
        kept = _KEPT[path] = _Kept(state, made_picture(path.read_bytes()))
    return kept.picture


def forget_all_but(paths: Iterable[Path]) -> None:
    """Forgets the pictures of files that are gone.

    Args:
        paths: the files that are there.
    """
    for gone in _KEPT.keys() - set(paths):
        del _KEPT[gone]


def state_of(path: Path) -> tuple[int, ...]:
    """The state of a file, another one as soon as the file may be: a copy with the old time and size has another time of its entry.

    Raises:
        OSError: it is not there.
    """
    status = path.stat()
    return status.st_mtime_ns, status.st_ctime_ns, status.st_size, status.st_ino


def made_picture(content: bytes) -> Picture:
    """The picture as it goes into the site, in the format that it has.

    Args:
        content: the file as the author put it into the manual.

    Returns:
        At most `LONGEST_SIDE` pixels wide and high, upright, with nothing but what is seen.

    Raises:
        PictureFault: it cannot be shown.
    """
    _refuse_what_is_known(content)
    try:
        with warnings.catch_warnings():
            # What Pillow warns of, a picture that would fill the memory, is refused by its size below.
            warnings.simplefilter("ignore")
            with Image.open(BytesIO(content), formats=_FORMATS) as opened:
                return _made_of(opened)
    except PictureFault:
        raise
    except UnidentifiedImageError as fault:
        raise PictureFault("no-picture", "This is no JPEG, PNG or WebP.", "Save the picture as a JPEG.") from fault
    except Image.DecompressionBombError as fault:
        raise _too_large("pixels") from fault
    except Exception as fault:  # Whatever a damaged file makes its reader stumble over.
        raise PictureFault(
            "damaged-picture", "This picture is damaged.", "Save or copy it again from where it came from."
        ) from fault


def _refuse_what_is_known(content: bytes) -> None:
    if len(content) > _MOST_BYTES:
        raise _too_large("bytes")
    if not content:
        raise PictureFault("damaged-picture", "This file is empty.", "Save or copy it again from where it came from.")
    if content[4:8] == _BOX and content[8:12] in _HEIC:
        remedy = "Save it as a JPEG, or set the telephone to take its photographs in the most compatible format."
        raise PictureFault("heic", "This is a HEIC picture, which few browsers show.", remedy)
    if content[:6] in {b"GIF87a", b"GIF89a"}:
        raise PictureFault("no-picture", "This is a GIF.", "Save one picture of it as a JPEG or PNG.")


def _too_large(unit: str) -> PictureFault:
    most = {"bytes": f"{_MOST_BYTES // 1_000_000} MB", "pixels": f"{_MOST_PIXELS // 1_000_000} megapixels"}[unit]
    return PictureFault("too-large", f"This picture is larger than {most}.", "Save it smaller.")


def _made_of(opened: Image.Image) -> Picture:
    if opened.width * opened.height > _MOST_PIXELS:
        raise _too_large("pixels")
    if min(opened.size) < _SHORTEST_SIDE:
        message = f"This picture has {opened.width} × {opened.height} pixels."
        raise PictureFault("too-small", message, f"Take one with at least {_SHORTEST_SIDE} pixels each way.")
    kind = opened.format or "JPEG"
    # A JPEG of a telephone may hold small copies of itself: those are no film.
    if kind in {"PNG", "WEBP"} and getattr(opened, "n_frames", 1) > 1:
        raise PictureFault("animated", "This picture moves.", "Save one picture of it as a JPEG or PNG.")
    if kind in {"JPEG", "MPO"}:
        opened.draft(None, (LONGEST_SIDE, LONGEST_SIDE))
    opened.load()
    picture = _in_plain_colours(ImageOps.exif_transpose(opened))
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    # Pillow writes some of what it has read (comments, colour profile) if it is still there.
    picture.info = {}
    return Picture(_encoded(picture, "JPEG" if kind == "MPO" else kind), picture.width, picture.height)


def _in_plain_colours(picture: Image.Image) -> Image.Image:
    """The picture in sRGB, with transparency if it has any: its colour profile is not kept."""
    profile = picture.info.get("icc_profile")
    if profile and picture.mode in {"RGB", "CMYK"}:
        try:
            own, plain = ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB")
            turned = ImageCms.profileToProfile(picture, own, plain, outputMode="RGB")
            picture = turned or picture
        except (ImageCms.PyCMSError, OSError):
            pass  # A profile that cannot be read: the colours are taken as they are.
    if picture.mode.startswith("I"):
        return picture.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    clear = picture.mode in {"LA", "RGBA", "PA"} or "transparency" in picture.info
    wanted = "RGBA" if clear else "L" if picture.mode in {"1", "L"} else "RGB"
    return picture.convert(wanted)


def _encoded(picture: Image.Image, kind: str) -> bytes:
    settings: dict[str, dict[str, Any]] = {
        "JPEG": {"quality": _QUALITY, "optimize": True},
        "PNG": {"optimize": True},
        "WEBP": {"quality": _QUALITY},
    }
    out = BytesIO()
    picture.save(out, kind, **settings[kind])
    return out.getvalue()
