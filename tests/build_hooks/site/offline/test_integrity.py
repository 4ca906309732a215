"""Pages say what their scripts are to be; a copy for a folder does not, for nothing can be checked there."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Final

from build_hooks.site.offline.integrity import without_integrity, write_integrity

SCRIPT: Final = b"console.log(1);\n"
INTEGRITY: Final = f"sha256-{base64.b64encode(hashlib.sha256(SCRIPT).digest()).decode()}"
PAGE: Final = (
    '<!doctype html><script>inline("<script src=x.js>")</script>\n<script src="../a.js" defer></script>'
    '<script src="missing.js"></script><script src="https://elsewhere.test/a.js"></script><img src="../a.js">'
)


def test_scripts_of_the_site_get_their_digest(tmp_path: Path) -> None:
    """Only the tags of scripts that are there change, and taking it away gives the page back, to the letter."""
    (tmp_path / "a.js").write_bytes(SCRIPT)
    page = tmp_path / "folder" / "index.html"
    page.parent.mkdir()
    page.write_text(PAGE, encoding="utf-8")
    write_integrity([page])
    written = page.read_text(encoding="utf-8")
    assert written == PAGE.replace('<script src="../a.js"', f'<script integrity="{INTEGRITY}" src="../a.js"')
    assert without_integrity(written) == PAGE
    write_integrity([page])
    assert page.read_text(encoding="utf-8") == written
