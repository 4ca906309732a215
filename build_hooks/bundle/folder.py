"""The engine's parts as text in classic scripts, for a copy of the manual that is opened from a folder.

A page on file:// may load scripts and nothing else: no fetch, no module, no worker from a file. The worker is therefore
made from text as well, the runtime's script in front of its own.
"""

from __future__ import annotations

import base64
import gzip
import json
from pathlib import Path
from typing import Final

__all__ = ["SCRIPTS", "write_inlined_parts"]

_PARTS: Final = {"wasm": "wasm.gz", "image": "image.gz", "stdlib": "stdlib.zip", "engine": "engine.whl"}
SCRIPTS: Final = ("runtime.js", "benchleaf-worker.js")
"""What the engine's worker runs, in this order; each ends a line, so that a page can tell them apart again."""


def write_inlined_parts(engine: Path) -> None:
    """Writes the scripts with the inlined parts, and removes the parts that only a server could give.

    Args:
        engine: the engine's folder in the copy of the site.
    """
    folder = engine / "inlined"
    folder.mkdir(exist_ok=True)
    worker = b"\n".join((engine / name).read_bytes() for name in SCRIPTS)
    _write(folder, "worker", gzip.compress(worker, 9, mtime=0))
    for name, file in _PARTS.items():
        if (engine / file).is_file():
            _write(folder, name, (engine / file).read_bytes())
            (engine / file).unlink()


def _write(folder: Path, name: str, content: bytes) -> None:
    text = base64.b64encode(content).decode("ascii")
    (folder / f"{name}.js").write_text(f"benchleafPart({json.dumps(name)},{json.dumps(text)});\n", encoding="ascii")
