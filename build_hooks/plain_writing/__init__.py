"""Looks at procedures as a reader at the bench will: steps, hold points and signal words, never prose.

Everything here is a warning with a place and a remedy; nothing stops a build. The rules follow the ideas of the open standards
of simplified technical writing (each module names them), in our own words, and are quiet where they do not know.
"""

from build_hooks.plain_writing.judge import manual_warnings, writing_warnings
from build_hooks.plain_writing.undefined_words import KnownWords, known_words

__all__ = ["KnownWords", "known_words", "manual_warnings", "writing_warnings"]
