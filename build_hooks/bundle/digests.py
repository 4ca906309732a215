"""Records the files of npm's packages anew, after a version in package.json was changed: `python -m build_hooks.bundle.digests`.

Run it right after `npm ci`, which checks every package against package-lock.json, and look at what changed in the record.
The bundler is recorded for the kind of machine that this runs on; on another its package is left to npm's own check.
"""

from __future__ import annotations

import json
from pathlib import Path

from build_hooks.bundle.packages import RECORDED, digests_of


def main() -> None:
    """Writes the record."""
    digests = digests_of(Path("node_modules"))
    RECORDED.write_text(json.dumps(dict(sorted(digests.items())), indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
