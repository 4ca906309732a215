"""The engine's own version: it changes when an answer or a field changes."""

__all__ = ["VERSION"]

VERSION = "0.9.0"
