"""The square code that opens a page of the served manual on a phone."""

from __future__ import annotations

from functools import lru_cache

import segno

__all__ = ["code_image"]


@lru_cache(maxsize=1024)
def code_image(address: str) -> str:
    """A code as an image that a page can hold.

    Args:
        address: the whole address that it opens.

    Returns:
        A ``data:`` address of an SVG image, black on white, with the quiet zone that the standard asks for.

    Source: ISO/IEC 18004 (the symbol); error correction M, so that a greasy print still reads.
    """
    return str(segno.make(address, error="m").svg_data_uri(border=4, dark="#000", light="#fff"))
