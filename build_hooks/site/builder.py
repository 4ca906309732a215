"""``python -m build_hooks.site.builder mkdocs build ...``: the tool that builds the site, with our way to end."""

import runpy
import sys

from build_hooks.process.ending import ended


def _run() -> int:
    del sys.argv[0]
    runpy.run_module(sys.argv[0], run_name="__main__", alter_sys=True)
    return 0


sys.exit(ended(_run))
