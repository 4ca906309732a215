"""Puts a finished folder in the place of an older one: only of one that we made, and so that a kill never leaves half of it."""

from build_hooks.site.replacing.faults import NotMadeError
from build_hooks.site.replacing.guard import PROJECT, is_ours, refuse_what_is_not_ours, settled
from build_hooks.site.replacing.place import WorkFolder, put_in_place, recover, work_folder

__all__ = [
    "PROJECT",
    "NotMadeError",
    "WorkFolder",
    "is_ours",
    "put_in_place",
    "recover",
    "refuse_what_is_not_ours",
    "settled",
    "work_folder",
]
