"""What the HTML of a page may hold: elements, attributes and addresses by list, and nothing that runs or calls another host.

A page's Markdown may hold HTML. What Markdown made of the page is read here, and written anew from what was read: a browser is
then shown nothing that this did not see. Refusals come first, with their places; writing anew is the last line of defence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from html import escape, unescape
from html.parser import HTMLParser
from typing import Final, NamedTuple, override

from markdown import Markdown

from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.markdown.fences import marker
from build_hooks.markdown.lines import lines_outside_code, without_code
from build_hooks.reading.problems import START, Fault, Mark, in_order, quoted

__all__ = ["Refusal", "clean_html", "html_faults", "is_outside", "placed", "runs"]


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_VOID: Final = _words("area br col hr img input source track wbr")
# Their end may be left out; a browser supplies it (WHATWG HTML, 13.1.2.4).
_END_LEFT_OUT: Final = _words("colgroup dd dt li p rp rt tbody td tfoot th thead tr")
_DRAWN: Final = _words("circle ellipse g line path polygon polyline rect svg")
_FORMULA: Final = _words(
    "math menclose merror mfenced mfrac mi mmultiscripts mn mo mover mpadded mphantom mprescripts mroot mrow ms mspace msqrt"
    " mstyle msub msubsup msup mtable mtd mtext mtr munder munderover none semantics"
)
_TAGS: Final = (
    _words(
        "a abbr address article aside audio b bdi bdo blockquote br caption cite code col colgroup dd del details dfn div dl dt em"
        " figcaption figure footer h1 h2 h3 h4 h5 h6 header hr i img input ins kbd label li main mark nav ol p picture pre q rp rt"
        " ruby s samp section small source span strong sub summary sup table tbody td tfoot th thead time tr track tt u ul var"
        " video wbr center big strike"
    )
    | _DRAWN
    | _FORMULA
)
_ADDRESSES: Final = _words("href src poster cite longdesc srcset")
# Where a browser asks by itself, without a press of anybody's.
_FETCHED: Final = _words("src poster srcset")
_ATTRIBUTES: Final = (
    _words(
        "abbr align alt checked class colspan controls coords datetime decoding dir disabled download for headers height hidden id"
        " inert kind label lang loading loop muted open preload rel reversed role rowspan scope shape span srclang start style"
        " tabindex target title translate type valign value width border cellpadding cellspacing name"
        " d cx cy fill fill-rule opacity points r rx ry stroke stroke-linecap stroke-linejoin stroke-width transform viewbox x x1"
        " x2 xmlns y y1 y2"
        " accent accentunder close columnalign columnlines columnspacing depth display displaystyle fence form linethickness lspace"
        " mathvariant maxsize minsize movablelimits notation rowlines rowspacing rspace scriptlevel separator stretchy symmetric"
        " mathsize mathcolor mathbackground columnspan width voffset"
    )
    | _ADDRESSES
)
_OPEN_ENDED: Final = ("aria-", "data-")
# By these the page's scripts and the theme know their own elements.
_OURS: Final = ("data-bench", "data-md")
_BLOCK: Final = "data-bench-block"
# The box of a hold point, as `build_hooks.markdown.admonitions` makes it.
_HOLD: Final = re.compile(r"data-bench=hold|name=hold-\d+")
# Of an input only what a list of tasks shows; a name that is no place would hide a part of the page from its scripts.
_INPUTS: Final = frozenset({"checkbox", "radio"})
_SCHEMES: Final = frozenset({"http", "https", "mailto", "tel"})
_SCHEME: Final = re.compile(r"([a-z][a-z0-9+.-]*):", re.IGNORECASE)
_HARMLESS_STYLE: Final = re.compile(r"[\w\s:;.,%#()+*/!-]*")
_FETCHING_STYLE: Final = re.compile(
    r"url|image|src|expression|behavior|binding|import|element\(|cross-fade|paint|/\*|//", re.IGNORECASE
)
# What a browser drops from an address before it reads it (WHATWG URL, 4.4).
_DROPPED: Final = re.compile(r"[\x00-\x20]+")


class Refusal(NamedTuple):
    """Something that a page may not hold.

    Attributes:
        sought: how it looks in the source of the page, to find its place; any of these, the first that is there.
        message: what is wrong.
        remedy: what would be right.
        code: a short stable name.
    """

    sought: tuple[str, ...]
    message: str
    remedy: str
    code: str


def runs(address: str) -> bool:
    """Whether an address is of a kind that could run in the page, or that is not known to be harmless."""
    scheme = _SCHEME.match(_DROPPED.sub("", address))
    return scheme is not None and scheme[1].casefold() not in _SCHEMES


def is_outside(address: str) -> bool:
    """Whether an address leads to another host."""
    plain = _DROPPED.sub("", address).replace("\\", "/")
    return plain.startswith("//") or _SCHEME.match(plain) is not None


@dataclass(slots=True)
class _Open:
    """An element that has begun."""

    tag: str
    written: bool


class _Reader(HTMLParser):
    """Reads a page and writes what of it may be there."""

    def __init__(self, blocks: int) -> None:
        super().__init__(convert_charrefs=False)
        self.refused: list[Refusal] = []
        self.written: list[str] = []
        self._blocks = set(map(str, range(blocks)))
        self._open: list[_Open] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begins an element."""
        allowed = tag in _TAGS
        if allowed:
            kept = "".join(self._attribute(tag, name, value) for name, value in _first_of_each(attrs))
            self.written.append(f"<{tag}{kept}>")
        else:
            self._refuse_tag(tag)
        if tag not in _VOID:
            self._open.append(_Open(tag, allowed))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Begins an element, and ends it where it is drawn or a formula; elsewhere a browser takes no notice of the slash."""
        self.handle_starttag(tag, attrs)
        if tag in _DRAWN | _FORMULA:
            self.handle_endtag(tag)

    @override
    def parse_marked_section(self, i: int, report: bool = True) -> int:
        """A section like ``<![CDATA[``. To a browser one that nobody knows is a comment; the library asserts that there is none."""
        try:
            return super().parse_marked_section(i, report)
        except AssertionError:
            return self.parse_bogus_comment(i)

    def handle_endtag(self, tag: str) -> None:
        """Ends the nearest element of this name, and what is open in it; an end without a beginning would end the page's own."""
        if not any(element.tag == tag for element in self._open):
            return
        while (element := self._open.pop()).tag != tag:
            self._end(element)
        if element.written:
            self.written.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        """Text. A sign that begins no tag here must begin none in a browser."""
        self.written.append(data.replace("<", "&lt;"))

    def handle_entityref(self, name: str) -> None:
        """A named character."""
        self.written.append(f"&{name};")

    def handle_charref(self, name: str) -> None:
        """A numbered character."""
        self.written.append(f"&#{name};")

    def finish(self) -> None:
        """Ends what was left open."""
        self.close()
        while self._open:
            self._end(self._open.pop())

    def _end(self, element: _Open) -> None:
        if element.written and element.tag not in _END_LEFT_OUT:
            self.written.append(f"</{element.tag}>")

    def _attribute(self, tag: str, name: str, value: str | None) -> str:
        refusal = self._refusal(tag, name, value or "")
        if refusal is not None:
            self.refused.append(refusal)
            return ""
        return f" {name}" if value is None else f' {name}="{escape(value)}"'

    def _refusal(self, tag: str, name: str, value: str) -> Refusal | None:
        if name == _BLOCK and value in self._blocks:
            self._blocks.remove(value)
            return None
        if tag == "input" and _HOLD.fullmatch(f"{name}={value}"):
            return None
        if (
            name.startswith(_OURS)
            or not (name in _ATTRIBUTES or name.startswith(_OPEN_ENDED))
            or _hides_the_page(tag, name, value)
        ):
            message = f"{quoted(name)} of {quoted(f'<{tag}>')} is not allowed in a page."
            return Refusal((f"{name}=", name), message, "Take it out.", "not-allowed-here")
        if name == "style" and (not _HARMLESS_STYLE.fullmatch(value) or _FETCHING_STYLE.search(value)):
            message = f"The style {quoted(value)} may load something."
            return Refusal((value, "style"), message, "Take it out, or use plain values only.", "not-allowed-here")
        if name in _ADDRESSES:
            return next((found for address in _addresses(name, value) if (found := _address_refusal(tag, name, address))), None)
        return None

    def _refuse_tag(self, tag: str) -> None:
        message = f"{quoted(f'<{tag}>')} is not allowed in a page."
        remedy = f"Take it out, or write “&lt;{tag}>” where it is to be shown."
        self.refused.append(Refusal((f"<{tag}",), message, remedy, "not-allowed-here"))


def _first_of_each(attributes: list[tuple[str, str | None]]) -> Iterator[tuple[str, str | None]]:
    """The attributes as a browser takes them: of one that is given twice, the first."""
    given: dict[str, str | None] = {}
    for name, value in attributes:
        given.setdefault(name, value)
    yield from given.items()


def _hides_the_page(tag: str, name: str, value: str) -> bool:
    return (name == "name" and tag != "a") or (tag == "input" and name == "type" and value.casefold() not in _INPUTS)


def _addresses(name: str, value: str) -> list[str]:
    return [part.split()[0] for part in value.split(",") if part.strip()] if name == "srcset" else [value]


def _address_refusal(tag: str, name: str, address: str) -> Refusal | None:
    sought = (address, unescape(address), address.partition(":")[0])
    if runs(address):
        message = f"{quoted(address)} leads to no page and could run in this one."
        return Refusal(sought, message, "Name a page or a file by its path, or an address with https.", "address-not-allowed")
    if name in _FETCHED and is_outside(address):
        message = f"{quoted(address)} is on another host, and a page calls none."
        return Refusal(
            sought, message, f"Put the file of this {tag} into the docs folder and name it by its path.", "outside-host"
        )
    return None


# A page is first asked for its refusals, then for its text; while the manual is watched, most pages are as they were.
@lru_cache(maxsize=1024)
def clean_html(html: str, blocks: int = 0) -> tuple[str, tuple[Refusal, ...]]:
    """Reads the HTML that Markdown made of a page.

    Args:
        html: the HTML, before our blocks are put into it.
        blocks: how many markers of blocks it holds; others like them are refused.

    Returns:
        The same page without whatever may not be there, comments included; and a refusal for each such thing but comments.
    """
    reader = _Reader(blocks)
    reader.feed(html)
    reader.finish()
    return "".join(reader.written), tuple(reader.refused)


# A page in which none of these stands needs no reading: Markdown makes nothing of it that is not on our lists.
_DOUBTFUL: Final = re.compile(r"<[A-Za-z/!?]|\{|\]\s*[(:][^)]{0,300}?(?:[:&\\]|//)")


_ANY_MARKER: Final = re.compile(rf'<div {_BLOCK}="\d+"></div>')


@lru_cache(maxsize=1024)
def html_faults(page: str, blocks: int) -> tuple[Fault, ...]:
    """Finds what a page of Markdown may not hold.

    Args:
        page: the Markdown without front matter, with a marker for each block, as many lines as the file has.
        blocks: how many blocks it has.

    Returns:
        A fault for each, by place.
    """
    if not _DOUBTFUL.search(_without_ours(page, blocks)):
        return ()
    made = Markdown(extensions=[*EXTENSIONS, "toc"]).convert(page)
    return placed(clean_html(made, blocks)[1], page, blocks)


def _without_ours(page: str, blocks: int) -> str:
    """The page with blanks for our markers, each once: what is left is the author's."""
    ours = {marker(number) for number in range(blocks)}
    return _ANY_MARKER.sub(lambda found: _used_up(found[0], ours), page)


def _used_up(found: str, ours: set[str]) -> str:
    if found in ours:
        ours.remove(found)
        return " " * len(found)
    return found


def placed(refusals: tuple[Refusal, ...], page: str, blocks: int = 0) -> tuple[Fault, ...]:
    """The refusals with their places in the source of the page: the first of a kind at the first place, and so on.

    Args:
        refusals: in the order of the page.
        page: its Markdown.
        blocks: how many blocks of ours it has, whose markers nobody wrote.
    """
    lines = {number: without_code(line) for number, line in lines_outside_code(_without_ours(page, blocks)).items()}
    used: dict[str, int] = {}
    return in_order(
        Fault(_place(refusal.sought, lines, used), refusal.code, refusal.message, refusal.remedy) for refusal in refusals
    )


def _place(sought: tuple[str, ...], lines: dict[int, str], used: dict[str, int]) -> Mark:
    """Where the next one of these stands; the last place again where there are no more; the top of the page if there is none."""
    for text in filter(None, sought):
        pattern = re.compile(re.escape(text), re.IGNORECASE)
        places = [Mark(number, found.start() + 1) for number, line in lines.items() for found in pattern.finditer(line)]
        if places:
            at = used.get(text, 0)
            used[text] = at + 1
            return places[min(at, len(places) - 1)]
    return START
