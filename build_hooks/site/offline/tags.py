"""Changes start tags of a finished page and leaves every other byte as it is.

A page has some thousand tags, of which a handful is changed. So the tags are found by an expression, which is some twenty times as
fast as a parser, and only the wanted ones are parsed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from html.parser import HTMLParser
from typing import Final

__all__ = ["Change", "change_tags"]

type Change = Callable[[str, Mapping[str, str | None], str], str]

# Comments, and tags as the HTML standard reads them: a quote within an unquoted value, or in a name, is a letter like others.
_COMMENT_OR_TAG: Final = re.compile(
    r"""<!--.*?(?:--!?>|\Z)
    | <(?P<name>[a-z][^\s/>]*+)
      (?: [\s/]++
        | [^\s/>][^\s/>=]*+ (?: \s*+ = \s*+ (?: "[^"]*+(?:"|\Z) | '[^']*+(?:'|\Z) | [^\s>"'][^\s>]*+ ) )?+
      )*+ (?P<end>>|\Z)""",
    re.DOTALL | re.IGNORECASE | re.VERBOSE,
)
# What stands in these is text, whatever it looks like.
_TEXT_ONLY: Final = frozenset({"script", "style", "textarea", "title"})


class _StartTag(HTMLParser):
    """Reads the attributes of one start tag."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.attributes: dict[str, str | None] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 - the tag is known
        """Takes them. Of an attribute that is given twice, a browser takes the first."""
        self.attributes = dict(reversed(attrs))


def change_tags(page: str, names: Collection[str], change: Change) -> str:
    """A page with some of its start tags changed.

    Args:
        page: HTML.
        names: the tags that may be changed, in small letters.
        change: is given a tag's name, its attributes and its text as it stands, and returns the text to put there.

    Returns:
        The page.

    Source: HTML, section 13.2.5, for what a tag is.
    """
    pieces: list[str] = []
    done = 0
    for tag in _start_tags(page):
        name = tag["name"].lower()
        if name in names:
            pieces += [page[done : tag.start()], change(name, _attributes(tag[0]), tag[0])]
            done = tag.end()
    return "".join((*pieces, page[done:]))


def _start_tags(page: str) -> Iterator[re.Match[str]]:
    at = 0
    while found := _COMMENT_OR_TAG.search(page, at):
        at = found.end()
        if not found["end"]:
            continue  # a comment, or a tag that never ends
        yield found
        if found["name"].lower() in _TEXT_ONLY:
            end = re.compile(rf"</{found['name']}(?=[\s/>])", re.IGNORECASE).search(page, at)
            at = end.start() if end else len(page)


def _attributes(tag: str) -> Mapping[str, str | None]:
    reader = _StartTag()
    reader.feed(tag)
    return reader.attributes
