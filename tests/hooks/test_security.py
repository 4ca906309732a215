"""The policy lets in our own inline scripts by their hash and nothing else."""

import base64
import hashlib
from pathlib import Path

from build_hooks.security import content_security_policy, inline_scripts


def test_only_scripts_that_run_are_hashed() -> None:
    """A script with a source and a script of data need no hash."""
    page = '<script src="a.js"></script><script type="application/json">{}</script><script>go(1 < 2 && "&amp;")</script>'
    assert inline_scripts(page) == ('go(1 < 2 && "&amp;")',)


def test_the_policy_names_each_script_once(tmp_path: Path) -> None:
    """The hash is over the exact bytes; eval is never allowed."""
    for name in ("a.html", "b.html"):
        (tmp_path / name).write_text("<script>go()</script>", encoding="utf-8")
    policy = content_security_policy(sorted(tmp_path.glob("*.html")))
    expected = base64.b64encode(hashlib.sha256(b"go()").digest()).decode()
    assert policy.count(f"'sha256-{expected}'") == 1
    assert "'wasm-unsafe-eval'" in policy
    assert "'unsafe-eval'" not in policy
    assert "script-src 'self' 'wasm-unsafe-eval' 'sha256-" in policy
