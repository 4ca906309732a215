"""Scripts that a test puts in front of what the engine's worker runs; its own files cannot be changed, for they are checked."""

from __future__ import annotations

import json
from typing import Final

__all__ = ["before_worker"]

_BEFORE: Final = """
{ const Native = window.Blob;
  window.Blob = class extends Native {
    constructor(parts = [], options = {}) { super(options.type === "text/javascript" ? WHOLE : parts, options); }
  }; }
"""


def before_worker(script: str, *, instead: bool = False) -> str:
    """What a page runs first so that its worker runs a script before its own, or instead of it."""
    text = json.dumps(script)
    return _BEFORE.replace("WHOLE", f"[{text}]" if instead else f"[{text}, ...parts]")
