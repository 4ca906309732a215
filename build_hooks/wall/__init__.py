"""The wall view: a pack's stack on the shop's screen, one part at a time, read from across the bay."""

from build_hooks.wall.pages import wall_pages
from build_hooks.wall.sizes import LetterSize, letter_size

__all__ = ["LetterSize", "letter_size", "wall_pages"]
