"""The shop's words: a page that explains them all, and marks in the text of every other page that lead there.

A mark is a link, so it works without a script; with one, its meaning is shown beside it (browser/glossary).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from html import escape, unescape
from html.parser import HTMLParser
from itertools import groupby
from typing import Final

from build_hooks.library import Library
from build_hooks.markdown.html import markdown_text
from build_hooks.model import Word
from build_hooks.words.english import ADJECTIVES, PREPOSITIONS, SMALL_WORDS, VERBS, word_set
from calc_engine import encode

__all__ = ["GLOSSARY", "WordForms", "anchor_of", "glossary_page", "mark_words", "word_forms"]

# The page below the docs folder.
GLOSSARY: Final = "words/index.md"
_ASKED: Final = (
    "dictionary", "glossary", "what does this word mean", "meaning of a word", "shop talk", "slang", "terms", "abbreviations", "jargon",
    "word list", "definitions", "what do you call this", "translation of a word", "diccionario", "qué significa", "palabras del oficio",
    "Wörterbuch", "Fachwörter", "lexique",
)  # fmt: skip

_HEADINGS: Final = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
# A mark in one of these would be a link in a link, or change what is typed, drawn or run.
_NEVER_INSIDE: Final = _HEADINGS | {
    "a", "abbr", "bench-calc", "button", "code", "dt", "figure", "form", "kbd", "label", "math", "option", "pre", "script", "select", "style",
    "summary", "svg", "template", "textarea", "title",
}  # fmt: skip
_VOID: Final = word_set("area base br col embed hr img input link meta source track wbr")
# Of our own blocks only the boxes of the author hold running text; everything else of ours is data.
_OURS: Final = "bench-"
_BOXES: Final = frozenset({"bench-signal", "bench-danger", "bench-warning", "bench-caution", "bench-notice", "bench-why"})
_MARK: Final = "bench-word"
_REFERENCE: Final = re.compile(r"&#?\w+;?")
# Other names of a word that mean something else as often as not: "hold a cloth", "beside your ear".
_EVERYDAY: Final = VERBS | ADJECTIVES | PREPOSITIONS | SMALL_WORDS | word_set("ear tab interior cylinder cone")


@dataclass(frozen=True, slots=True)
class WordForms:
    """Every way in which the shop's words stand in a text.

    Attributes:
        pattern: finds any of them, the longest first; None where the shop has no words.
        words: the word by each of its forms, as `plain` writes it.
    """

    pattern: re.Pattern[str] | None
    words: Mapping[str, Word]

    def word(self, found: str) -> Word:
        """The word of a form that was found in a text."""
        written = " ".join(found.casefold().split())
        for form in (written, written.removesuffix("s"), written.removesuffix("es")):
            if form in self.words:
                return self.words[form]
        raise KeyError(found)


def word_forms(words: Iterable[Word]) -> WordForms:
    """The forms of the shop's words: each word and its other names, one and many.

    Args:
        words: in their order; where two share a form, it belongs to the one that it is the name of, else to the first.
    """
    words = tuple(words)
    forms = {_plain(word.id): word for word in words}
    for word in words:
        for other in word.also:
            if _plain(other) not in _EVERYDAY:
                forms.setdefault(_plain(other), word)
    if not forms:
        return WordForms(None, forms)
    longest_first = sorted(forms, key=lambda form: (-len(form), form))
    either = "|".join(r"\s+".join(map(re.escape, form.split())) for form in longest_first)
    return WordForms(re.compile(rf"(?<![\w&#-])(?:{either})(?:s|es)?(?![\w-])", re.IGNORECASE), forms)


def _plain(form: str) -> str:
    return " ".join(form.casefold().split())


def anchor_of(word: Word) -> str:
    """Where the glossary explains a word."""
    return "word-" + re.sub(r"[^\w]+", "-", _plain(word.id)).strip("-")


def glossary_page(library: Library) -> str:
    """The page that explains the shop's words, as Markdown.

    Args:
        library: the words are those of its shop.yml.
    """
    words = sorted(library.shop.words.values(), key=lambda word: _plain(word.id))
    lines = ["---", "title: Words", f"asked_as: {encode(list(_ASKED))}", "---", "", "# Words", ""]
    if not words:
        return "\n".join([*lines, "No words yet. Add them to `shop.yml`, under `words`.", ""])
    lines += [
        f"What the words of the trade mean at {markdown_text(library.shop.name)}. Press one in a page and you see the same.",
        "",
    ]
    for letter, group in groupby(words, key=lambda word: _plain(word.id)[0].upper()):
        entries = "".join(_entry(word) for word in group)
        lines += [f"## {markdown_text(letter)}", "", f'<dl class="bench-words">{entries}</dl>', ""]
    return "\n".join(lines)


def _entry(word: Word) -> str:
    also = f'<dd class="bench-words-also">Also: {escape(", ".join(word.also), quote=False)}</dd>' if word.also else ""
    meaning = escape(word.meaning, quote=False)
    return f'<dt id="{escape(anchor_of(word))}">{escape(word.id, quote=False)}</dt><dd>{meaning}</dd>{also}'


def mark_words(html: str, words: WordForms, glossary: str) -> str:
    """Marks the first use of each word in each section of a page.

    Nothing but the marks is added: every other character of the page stays as it is. A page that has its marks is not changed.

    Args:
        html: the finished content of a page.
        words: what to look for.
        glossary: the address of the glossary from this page, for example ``../../words/index.html``.

    Returns:
        The page. A mark is a link with class ``bench-word`` that carries its word and the meaning.
    """
    if words.pattern is None:
        return html
    found = _Finder(html, words)
    parts, at = [], 0
    for start, end, word in found.marks:
        parts += [html[at:start], _mark(html[start:end], word, glossary)]
        at = end
    return "".join([*parts, html[at:]])


def _mark(said: str, word: Word, glossary: str) -> str:
    given = {
        "class": _MARK,
        "href": f"{glossary}#{anchor_of(word)}",
        "data-bench": "word",
        "data-word": word.id,
        "data-meaning": word.meaning,
    }
    return f"<a {' '.join(f'{name}="{escape(value)}"' for name, value in given.items())}>{said}</a>"


class _Finder(HTMLParser):
    """Finds where marks go; it never writes markup, so it cannot spoil any."""

    def __init__(self, html: str, words: WordForms) -> None:
        super().__init__(convert_charrefs=False)
        self.marks: list[tuple[int, int, Word]] = []
        self._html = html
        self._words = words
        self._lines = [0, *(match.end() for match in re.finditer("\n", html))]
        # Open elements, each with whether its text is left alone.
        self._open: list[tuple[str, bool]] = []
        self._used: set[str] = set()
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Goes into an element."""
        given = dict(attrs)
        classes = (given.get("class") or "").split()
        if tag in _HEADINGS:
            self._used.clear()
        if _MARK in classes:
            self._used.add(given.get("data-word") or "")
        if tag not in _VOID:
            self._open.append((tag, tag in _NEVER_INSIDE or _is_data(classes)))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """An element that holds nothing."""

    def handle_endtag(self, tag: str) -> None:
        """Leaves an element, and what was left open in it."""
        for at in range(len(self._open) - 1, -1, -1):
            if self._open[at][0] == tag:
                del self._open[at:]
                return

    def handle_data(self, data: str) -> None:
        """Looks for words in a piece of text."""
        if any(alone for _, alone in self._open) or self._words.pattern is None:
            return
        line, column = self.getpos()
        start = self._lines[line - 1] + column
        if not self._html.startswith(data, start):
            return
        for match in self._words.pattern.finditer(self._html, start, start + len(data)):
            if _goes_on(self._html, match.end()):
                continue
            word = self._words.word(match[0])
            if word.id not in self._used:
                self._used.add(word.id)
                self.marks.append((match.start(), match.end(), word))


def _goes_on(html: str, at: int) -> bool:
    """Whether a letter written as a character reference follows: then the word is another one."""
    reference = _REFERENCE.match(html, at)
    return reference is not None and unescape(reference[0])[0].isalpha()


def _is_data(classes: Collection[str]) -> bool:
    return any(name.startswith(_OURS) and name not in _BOXES for name in classes)
