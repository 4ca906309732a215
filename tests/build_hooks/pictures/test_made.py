"""Pictures lose what a camera wrote beside them, stand upright, fit a screen; what cannot be shown is refused with its remedy."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from build_hooks.pictures import PictureFault, made_picture

SECRET = b"Quay Lane workshop"
ORIENTATION, GPS, MAKER, LATITUDE_SIGN = 0x0112, 0x8825, 0x010F, 1  # Tags of Exif 2.32, 4.6.4 to 4.6.6.


def drawn(kind: str = "JPEG", size: tuple[int, int] = (64, 32), **more: object) -> bytes:
    """A picture whose left half is white."""
    picture = Image.new("RGB", size, "black")
    picture.paste("white", (0, 0, size[0] // 2, size[1]))
    content = BytesIO()
    picture.save(content, kind, **more)
    return content.getvalue()


def from_a_telephone() -> bytes:
    """With a place, a maker, and the mark of a telephone that was held on its side."""
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    exif[MAKER] = SECRET.decode()
    exif.get_ifd(GPS)[LATITUDE_SIGN] = "N"
    return drawn(exif=exif, comment=SECRET)


def test_place_and_camera_data_are_gone_and_the_picture_is_upright() -> None:
    """None of it is left in any form, and nothing is needed any more to turn it."""
    content = from_a_telephone()
    assert SECRET in content
    made = made_picture(content)
    assert SECRET not in made.content
    assert b"Exif" not in made.content
    opened = Image.open(BytesIO(made.content))
    assert dict(opened.getexif()) == {}
    assert (made.width, made.height) == opened.size == (32, 64)
    upper, lower = opened.convert("L").getpixel((16, 8)), opened.convert("L").getpixel((16, 56))
    assert isinstance(upper, int)
    assert isinstance(lower, int)
    assert (upper > 200, lower < 50) == (True, True)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_it_fits_a_screen_and_keeps_its_kind(kind: str) -> None:
    """The longest side is at most 1600 pixels."""
    made = made_picture(drawn(kind, (3200, 800)))
    assert (made.width, made.height) == (1600, 400)
    assert Image.open(BytesIO(made.content)).format == kind


def test_the_same_file_gives_the_same_bytes() -> None:
    """A manual that is built twice is the same twice."""
    assert made_picture(drawn()) == made_picture(drawn())


def moving() -> bytes:
    """Two pictures in one file."""
    content = BytesIO()
    frames = [Image.new("RGB", (32, 32), colour) for colour in ("red", "blue")]
    frames[0].save(content, "PNG", save_all=True, append_images=frames[1:])
    return content.getvalue()


@pytest.mark.parametrize(
    ("content", "code", "message", "remedy"),
    [
        (b"", "damaged-picture", "This file is empty.", "Save or copy it again from where it came from."),
        (b"not a picture", "no-picture", "This is no JPEG, PNG or WebP.", "Save the picture as a JPEG."),
        (drawn()[:200], "damaged-picture", "This picture is damaged.", "Save or copy it again from where it came from."),
        (drawn("GIF"), "no-picture", "This is a GIF.", "Save one picture of it as a JPEG or PNG."),
        (moving(), "animated", "This picture moves.", "Save one picture of it as a JPEG or PNG."),
        (
            b"\0\0\0\x18ftypheic" + bytes(40),
            "heic",
            "This is a HEIC picture, which few browsers show.",
            "Save it as a JPEG, or set the telephone to take its photographs in the most compatible format.",
        ),
    ],
)
def test_what_cannot_be_shown_is_refused(content: bytes, code: str, message: str, remedy: str) -> None:
    """In these words."""
    with pytest.raises(PictureFault) as caught:
        made_picture(content)
    assert (caught.value.code, str(caught.value), caught.value.remedy) == (code, message, remedy)
