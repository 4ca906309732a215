"""Serving while somebody writes: the manual is built anew when a file of it changes, and open pages follow."""

from build_hooks.site.watching.builds import Builds, build_command, live_command
from build_hooks.site.watching.files import changes, states_of

__all__ = ["Builds", "build_command", "changes", "live_command", "states_of"]
