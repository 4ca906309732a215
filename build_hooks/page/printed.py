"""What a page has for its print alone: the running head, the code that opens it on a phone, and the lines to sign.

A style sheet cannot say what a page is called on the head of each sheet, so a page carries a small sheet of its own.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Final

from build_hooks.model import State, Status
from build_hooks.page.qr_code import code_image
from calc_engine import Element, element

__all__ = ["printed_code", "running_head", "sign_off"]

_PLAIN: Final = re.compile(r"[^\w ·.,:()-]")
_SHEET: Final = '"sheet " counter(page) " of " counter(pages)'
_TO_FILL: Final = ("Job", "Date", "Name", "Signature")


def printed_code(address: str) -> Element:
    """The code at the head of a printed page; on a screen it is not shown.

    Args:
        address: where the page will be served.

    Returns:
        An image that opens the page on a phone, and what it opens in words.
    """
    return element(
        "figure",
        {"class": "bench-printed-code"},
        element("img", {"src": code_image(address), "alt": f"Opens {address} on a phone"}),
        element("figcaption", {}, "Opens this page on a phone, in its newest edition"),
    )


def running_head(unit: str, title: str, status: Status | None, edition: date) -> Element:
    """What stands on top of every sheet of a printed page.

    Args:
        unit: the name of its unit, empty if it belongs to none.
        title: the name of the page.
        status: of the page, if it says anything: its revision, and whether it is withdrawn.
        edition: the day on which the manual was made.

    Returns:
        A style element. The names are written so that nothing in them can end the text they stand in.

    Source: W3C CSS Paged Media Module Level 3 (margin boxes), CSS Syntax Level 3, 4.3.7 (escapes).
    """
    name = title if title.startswith(unit) else f"{unit} · {title}"
    said = " · ".join([*_standing(status), f"Edition of {edition.isoformat()}", ""])
    rules = f"@top-left{{content:{_text(name)}}}@top-right{{content:{_text(said)} {_SHEET}}}"
    return element("style", {}, f"@page{{{rules}}}")


def _standing(status: Status | None) -> list[str]:
    if status is None:
        return []
    withdrawn = ["WITHDRAWN: do not work from this"] if status.state is State.WITHDRAWN else []
    return [*withdrawn, *([f"Revision {status.revision}"] if status.revision else [])]


def _text(said: str) -> str:
    """A text as a style sheet writes it."""
    return f'"{_PLAIN.sub(lambda sign: f"\\{ord(sign[0]):x} ", said)}"'


def sign_off() -> Element:
    """Lines at the end of a printed procedure, for the one who did the job."""
    lines = (element("p", {}, label) for label in _TO_FILL)
    return element("section", {"class": "bench-sign-off", "aria-hidden": "true"}, *lines)
