"""The edition of practice: it changes when a seed gives another exercise, or an answer is marked in another way."""

__all__ = ["EDITION"]

EDITION = "2"
