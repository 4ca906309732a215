"""What the page's worker calls: one request text in, one reply text out. Only data crosses."""

from __future__ import annotations

from typing import Any, cast

from .answer import answer_text, decode_request, encode
from .catalogue import CATALOGUE
from .panel import panel

__all__ = ["answer_for_page", "rehearse"]


def answer_for_page(name: str, text: str) -> str:
    """Answers a request and says how the answer looks.

    Args:
        name: the calculation.
        text: the request as JSON.

    Returns:
        JSON of ``{"reply": ..., "panel": ...}``: the reply that the command line would give, and, when it is ok, the
        answer panel as plain data (see `markup`).
    """
    reply = answer_text(name, text)
    return encode({"reply": reply, "panel": panel(_given(text), reply) if reply["ok"] else None})


def _given(text: str) -> dict[str, Any]:
    # An answer that is ok has come from an object.
    return cast("dict[str, Any]", decode_request(text))


def rehearse(name: str) -> None:
    """Answers a worked example for nobody: a runtime that has just started is slow on whatever it has not run yet.

    Args:
        name: a calculation of the catalogue.

    Raises:
        KeyError: there is no calculation of that name.
    """
    answer_for_page(name, encode(dict(CATALOGUE[name].example)))
