"""The timer block: a soak or a cure, with a sound at the end."""

from __future__ import annotations

from pydantic import Field

from build_hooks.blocks.context import Context, Trouble, known_or_trouble
from build_hooks.model import Keys
from build_hooks.model.fields import Minutes, Reference, Text
from calc_engine import Element, element

__all__ = ["TimerBody", "render_timer"]


class TimerBody(Keys):
    """The body of a timer block."""

    wait: Reference | None = Field(None, description="A wait of shop.yml: its name, minutes and source.", examples=["soak"])
    name: Text | None = Field(None, description="What is waited for, if not as shop.yml says.", examples=["Soak the plates"])
    minutes: Minutes | None = Field(None, description="How long, in minutes, where no wait is named.", examples=[20])


def render_timer(body: TimerBody, context: Context) -> Element:
    """A timer that says its time in words even where it cannot run.

    Raises:
        Trouble: the wait is not in shop.yml, or name and minutes are missing, or minutes are given twice.
    """
    name, minutes, source = _said(body, context)
    return element(
        "bench-timer",
        {"data-bench": "timer", "data-minutes": str(minutes), "data-title": name, "id": context.identity("timer")},
        element(
            "p",
            {"class": "bench-timer-title"},
            element("strong", {}, name),
            f": {minutes} {'minute' if minutes == 1 else 'minutes'}{f' ({source})' if source else ''}",
        ),
        element("p", {"class": "bench-timer-left", "data-bench": "left", "role": "timer", "aria-live": "off"}),
        element("p", {"data-bench": "state", "role": "status"}),
    )


def _said(body: TimerBody, context: Context) -> tuple[str, int, str]:
    """What is waited for, how many minutes, and who says so."""
    if body.wait is None:
        if body.name is None or body.minutes is None:
            raise Trouble((), "no-time", "This timer has no time.", "Write wait: and a wait of shop.yml, or name: and minutes:.")
        return body.name, body.minutes, ""
    if body.minutes is not None:
        remedy = "Take one of the two out."
        raise Trouble(("minutes",), "given-twice", f"The wait {body.wait} has its minutes in shop.yml.", remedy)
    wait = known_or_trouble(context.shop().waits, body.wait, ("wait",), "wait")
    return body.name or wait.name, wait.minutes, wait.source
