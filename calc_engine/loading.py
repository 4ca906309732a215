"""Ctrl+C while the command is still loading ends it quietly with the status that shells have for it, as it does afterwards.

Python loads the package before the command in it, so this comes before everything else of the package.
"""

import sys

__all__ = ["is_loaded"]

# A program that only imports the engine has its own way with Ctrl+C.
_COMMAND = getattr(sys, "orig_argv", [])[1:3] == ["-m", "calc_engine"]

if _COMMAND:
    import os
    import signal

    # Whoever started us may have chosen that we take no notice.
    _ASKED = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if _ASKED:
        signal.signal(signal.SIGINT, lambda *_: os._exit(130))


def is_loaded() -> None:
    """Gives Ctrl+C back to the command."""
    if _COMMAND and _ASKED:
        signal.signal(signal.SIGINT, signal.default_int_handler)
