"""What a browser keeps of a built site: every file that a page may ask for, with the hash of what it must hold."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from build_hooks.changes import FACTS_FILE

__all__ = ["KeptFile", "edition_name", "kept_files"]

# For search engines, for developers' tools, for the server: no page asks for these.
_LEFT_OUT: Final = ("sitemap.xml", "assets/benchleaf/headers.json", FACTS_FILE)
_LEFT_OUT_ENDINGS: Final = (".map",)
# Parts inlined in scripts are for folders opened by double-click; a served page never asks for them.
_INLINED: Final = "inlined"
_COMPRESSED: Final = (".gz", ".br")


@dataclass(frozen=True, slots=True)
class KeptFile:
    """One file that a browser is to keep.

    Attributes:
        integrity: what it must hold, as browsers check it (W3C Subresource Integrity): one hash, or two of which either
            will do.
        bytes: its size.
    """

    integrity: str
    bytes: int


def kept_files(site: Path, *, without: str) -> dict[str, KeptFile]:
    """The files to keep.

    Args:
        site: the folder of the built site.
        without: path of the script that holds the list, which cannot hold its own hash.

    Returns:
        By path from the site's root, with forward slashes, in order.
    """
    paths = sorted(path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file())
    there = frozenset(paths)
    kept = [path for path in paths if path != without and _is_kept(PurePosixPath(path), there)]
    return {path: _described((site / path).read_bytes()) for path in kept}


def edition_name(files: Mapping[str, KeptFile], script: str) -> str:
    """A short name of an edition: another one as soon as one byte of it differs.

    Args:
        files: those to keep.
        script: what keeps them.
    """
    text = json.dumps([[path, file.integrity] for path, file in sorted(files.items())]) + script
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _is_kept(path: PurePosixPath, there: frozenset[str]) -> bool:
    if path.as_posix() in _LEFT_OUT or path.suffix in _LEFT_OUT_ENDINGS or _INLINED in path.parts[:-1]:
        return False
    # The compressed sibling of a file is the server's; a part that is only there compressed is ours.
    return path.suffix not in _COMPRESSED or path.with_suffix("").as_posix() not in there


def _described(content: bytes) -> KeptFile:
    contents = [content]
    if content.startswith(b"\x1f\x8b"):
        # Some servers send a .gz file as one that the browser is to inflate.
        contents.append(_inflated(content))
    return KeptFile(" ".join(dict.fromkeys(_hash(one) for one in contents)), len(content))


def _inflated(content: bytes) -> bytes:
    try:
        return gzip.decompress(content)
    except (EOFError, OSError, zlib.error):
        return content


def _hash(content: bytes) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(content).digest()).decode('ascii')}"
