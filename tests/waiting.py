"""Waiting for something in a page."""

from __future__ import annotations

import time
from typing import Any, Final

from playwright.sync_api import Page

PATIENCE_SECONDS: Final = 10.0


def until(page: Page, condition: str, arg: object = None, seconds: float = PATIENCE_SECONDS) -> Any:
    """Asks the page again and again until a condition holds.

    Playwright's own ``wait_for_function`` evaluates text in the page. The manual's policy allows that the first time, while the
    debugger looks on, and refuses it afterwards: such a test passes only when the condition holds at once.

    Args:
        page: The page.
        condition: A JavaScript expression, or a function that takes ``arg``.
        arg: What the function takes.
        seconds: How long to wait, in seconds.

    Returns:
        What the condition gave at last.

    Raises:
        AssertionError: It did not hold in time; names the condition.
    """
    deadline = time.monotonic() + seconds
    while not (found := page.evaluate(condition, arg)):
        assert time.monotonic() < deadline, f"after {seconds} s not yet: {condition}"
        page.wait_for_timeout(50)
    return found
