"""What the page's worker calls: one request text in, one reply text out. Only data crosses."""

from __future__ import annotations

from calc_engine.answer import refusal_of, work_out_text
from calc_engine.answer_view.panel import panel
from calc_engine.declare.json_text import encode

__all__ = ["answer_for_page"]


def answer_for_page(name: str, text: str) -> str:
    """Answers a request and says how the answer looks.

    Args:
        name: the calculation.
        text: the request as JSON.

    Returns:
        JSON of ``{"reply": ..., "panel": ...}``: the reply that the command line would give, and, when it is ok, the
        answer panel as plain data (see `markup`). It raises nothing.
    """
    try:
        worked = work_out_text(name, text)
        return encode({"reply": worked.reply, "panel": panel(worked)})
    except Exception as fault:  # noqa: BLE001 - a page must say that the engine failed, whatever the reason
        return encode({"reply": refusal_of(name, fault), "panel": None})
