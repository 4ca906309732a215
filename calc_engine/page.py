"""What the page's worker calls: one request text in, one reply text out. Only data crosses."""

from __future__ import annotations

from typing import Any

from .answer import answer, decode_request, encode
from .panel import panel
from .problems import Refused

__all__ = ["answer_for_page"]


def answer_for_page(name: str, text: str) -> str:
    """Answers a request and says how the answer looks.

    Args:
        name: the calculation.
        text: the request as JSON.

    Returns:
        JSON of ``{"reply": ..., "panel": ...}``: the reply that the command line would give, and, when it is ok, the
        answer panel as plain data (see `markup`).
    """
    try:
        request = decode_request(text)
    except Refused as refused:
        return encode(
            {
                "reply": answer(name, {}) | {"problems": [problem.as_json() for problem in refused.problems]},
                "panel": None,
            }
        )
    reply = answer(name, request)
    return encode({"reply": reply, "panel": _panel(request, reply)})


def _panel(request: object, reply: dict[str, Any]) -> Any:
    return panel(request, reply) if reply["ok"] and isinstance(request, dict) else None
