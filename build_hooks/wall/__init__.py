"""The wall view: a pack's stack on the shop's screen, one part at a time, read from across the bay."""

from build_hooks.wall.drawn import drawer
from build_hooks.wall.pages import FormPlace, Place, wall_addresses, wall_pages
from build_hooks.wall.sizes import letter_size

__all__ = ["FormPlace", "Place", "drawer", "letter_size", "wall_addresses", "wall_pages"]
