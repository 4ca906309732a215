"""The timer block: a soak or a cure, with a sound at the end."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator

from build_hooks.blocks.context import Context
from build_hooks.model import Keys
from build_hooks.model.fields import Text, fault
from calc_engine import Element, element

__all__ = ["TimerBody", "render_timer"]

_LONGEST_MINUTES = 24 * 60


def _as_minutes(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _LONGEST_MINUTES:
        return value
    raise fault("out-of-range", "The minutes must be a whole number.", f"Write 1 to {_LONGEST_MINUTES}, for example minutes: 20.")


class TimerBody(Keys):
    """The body of a timer block."""

    name: Text = Field(description="What is waited for.", examples=["Soak the friction plates"])
    minutes: Annotated[int, PlainValidator(_as_minutes)] = Field(description="How long, in minutes.", examples=[20])


def render_timer(body: TimerBody, context: Context) -> Element:
    """A timer that says its time in words even where it cannot run."""
    identity = context.identity("timer")
    return element(
        "bench-timer",
        {"data-bench": "timer", "data-minutes": str(body.minutes), "data-title": body.name, "id": identity},
        element("p", {"class": "bench-timer-title"}, element("strong", {}, body.name), f": {body.minutes} minutes"),
        element("p", {"class": "bench-timer-left", "data-bench": "left", "role": "timer", "aria-live": "off"}),
        element("p", {"data-bench": "state", "role": "status"}),
    )
