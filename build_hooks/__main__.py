"""``python -m build_hooks``."""

import sys

from build_hooks.cli import main

sys.exit(main())
