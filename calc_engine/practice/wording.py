"""How the exercises put things into words."""

from __future__ import annotations

from typing import Final

__all__ = ["COMMON_PRACTICE"]

COMMON_PRACTICE: Final = "(common practice, no source)"
