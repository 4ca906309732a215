"""What changed between two states of a manual: two revisions, two built sites, or the files as they are now."""

from build_hooks.changes.compare import Change, changes_between
from build_hooks.changes.facts import FACTS_FILE, Facts, facts_of, facts_of_pages, read_facts, written_facts
from build_hooks.changes.read_again import paths_to_read_again
from build_hooks.changes.showing import change_page, change_text, is_change_page
from build_hooks.changes.states import NoStateError, facts_at

__all__ = [
    "FACTS_FILE",
    "Change",
    "Facts",
    "NoStateError",
    "change_page",
    "change_text",
    "changes_between",
    "facts_at",
    "facts_of",
    "facts_of_pages",
    "is_change_page",
    "paths_to_read_again",
    "read_facts",
    "written_facts",
]
