"""Why something was not made."""

from __future__ import annotations

__all__ = ["NotMadeError"]


class NotMadeError(Exception):
    """Nothing was written. The text says why and what to do."""
