"""The reply that stands in a panel, as a test reads it."""

from __future__ import annotations

import json
from typing import Any

from playwright.sync_api import Locator, expect

__all__ = ["standing_reply"]


def standing_reply(panel: Locator) -> Any:
    """The reply as JSON. A press takes the one before away at once, and while an answer is on its way a panel has none."""
    shown = panel.locator("[data-bench=result][data-reply]")
    expect(shown).to_be_visible()
    return json.loads(shown.get_attribute("data-reply") or "null")
