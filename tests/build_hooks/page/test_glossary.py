"""The shop's words in the text of a page, and the page that explains them."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st
from markdown import markdown

from build_hooks.library import Library, load
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.markdown.html import markdown_text
from build_hooks.model import Shop, Word
from build_hooks.page.glossary import GLOSSARY, anchor_of, glossary_page, mark_words, word_forms
from build_hooks.page.pages import read_pages
from build_hooks.page.source import read_page

ROOT: Final = Path(__file__).parents[3]


def word(name: str, meaning: str, *also: str) -> Word:
    """A word of a shop."""
    return Shop(name="Quay Lane", words={name: Word(meaning=meaning, also=also)}).words[name]


SNAP: Final = word("snap ring", "A springy ring.", "circlip", "retaining ring")
PISTON: Final = word("piston", "The ring that pressure pushes.")
SEAL: Final = word("piston seal", 'The seal of a piston: "in its groove" & whole.')
HOLD: Final = word("hold point", "A place where work stops.", "hold", "ear", "stop point")
HUB: Final = word("hub", "The splined part.")
WORDS: Final = word_forms([SNAP, PISTON, SEAL, HOLD, HUB])


def marked(html: str) -> str:
    """The page with each mark as [word|said]."""
    found = mark_words(html, WORDS, "../words/index.html")
    return re.sub(r'<a class="bench-word"[^>]*data-word="([^"]*)"[^>]*>(.*?)</a>', r"[\1|\2]", found, flags=re.DOTALL)


def test_a_mark_is_a_link_to_the_glossary_that_carries_the_meaning() -> None:
    """It works without a script; quotation marks and ampersands of a meaning are escaped."""
    assert mark_words("<p>Fit the piston seals.</p>", WORDS, "../words/index.html") == (
        '<p>Fit the <a class="bench-word" href="../words/index.html#word-piston-seal" data-bench="word" data-word="piston seal" '
        'data-meaning="The seal of a piston: &quot;in its groove&quot; &amp; whole.">piston seals</a>.</p>'
    )


@pytest.mark.parametrize(
    ("html", "expected"),
    [
        ("<p>A snap ring.</p>", "<p>A [snap ring|snap ring].</p>"),
        ("<p>Snap\nrings and circlips.</p>", "<p>[snap ring|Snap\nrings] and circlips.</p>"),
        ("<p>Circlips, then a snap ring.</p>", "<p>[snap ring|Circlips], then a snap ring.</p>"),
        ("<p>The piston seal, the piston.</p>", "<p>The [piston seal|piston seal], the [piston|piston].</p>"),
        ("<p>Pistonless, piston-like, sub-piston, the piston's edge.</p>", "<p>Pistonless, piston-like, sub-piston, the [piston|piston]'s edge.</p>"),
        ("<p>Hold it by your ear to the hold point.</p>", "<p>Hold it by your ear to the [hold point|hold point].</p>"),
        ("<h2>A hub</h2><p>hub hub</p><h3>b</h3><p>hub</p>", "<h2>A hub</h2><p>[hub|hub] hub</p><h3>b</h3><p>[hub|hub]</p>"),
        ("<p>pist<b>on</b></p>", "<p>pist<b>on</b></p>"),
        ("<p>hub&eacute; hub&amp;hub hub&nbsp;</p>", "<p>hub&eacute; [hub|hub]&amp;hub hub&nbsp;</p>"),
        ("<p>&hub; &#hub;</p>", "<p>&hub; &#hub;</p>"),
        ("<p>a<br>piston<img alt='piston'></p>", "<p>a<br>[piston|piston]<img alt='piston'></p>"),
        ("<!-- piston --><p title='piston'>x</p>", "<!-- piston --><p title='piston'>x</p>"),
        ('<div class="bench-signal bench-danger"><p class="bench-signal-word">piston</p><p>piston</p></div>',
         '<div class="bench-signal bench-danger"><p class="bench-signal-word">piston</p><p>[piston|piston]</p></div>'),
        ('<div class="bench-timer"><p>piston</p></div><p>piston</p>', '<div class="bench-timer"><p>piston</p></div><p>[piston|piston]</p>'),
        ("<p>piston", "<p>[piston|piston]"),
        ("</p></p>piston", "</p></p>[piston|piston]"),
        ("", ""),
    ],
)  # fmt: skip
def test_the_first_use_of_a_word_in_each_section_is_marked(html: str, expected: str) -> None:
    """Whole words and their plurals, the longest first, once in a section, and only in running text."""
    assert marked(html) == expected


ALONE: Final = [
    "a", "abbr", "bench-calc", "button", "code", "dt", "figure", "form", "h1", "h2", "h3", "h4", "h5", "h6", "kbd", "label", "math", "option",
    "pre", "script", "select", "style", "summary", "svg", "template", "textarea", "title",
]  # fmt: skip


@pytest.mark.parametrize("tag", ALONE)
def test_nothing_is_marked_inside(tag: str) -> None:
    """Links, headings, code, drawings and what is typed into are left alone, however deep a word stands in them."""
    html = f"<div><{tag}>piston <i>piston</i></{tag}></div>"
    assert mark_words(html, WORDS, "x") == html


def test_another_name_that_means_something_else_as_often_is_left_alone() -> None:
    """Hold is another name of a hold point, but hold a cloth over it is not one; a word's own name is always marked."""
    forms = word_forms([HOLD, word("soak", "To let stand in fluid.")])
    assert set(forms.words) == {"hold point", "stop point", "soak"}


def test_a_form_that_two_words_share_belongs_to_the_one_it_names() -> None:
    """Else to the one that stands first."""
    forms = word_forms(
        [word("brake", "b", "piston", "holding clutch"), word("piston", "p"), word("clutch", "c", "holding clutch")]
    )
    assert {form: found.id for form, found in forms.words.items()} == {
        "brake": "brake", "piston": "piston", "clutch": "clutch", "holding clutch": "brake",
    }  # fmt: skip


def without_asked(page: str) -> str:
    """The page without the line that says what it is asked for."""
    left, lines = re.subn(r"^asked_as: \[.+\]\n", "", page, flags=re.MULTILINE)
    assert lines == 1
    return left


def test_a_shop_without_words_marks_nothing() -> None:
    """No words, no marks, and a page that says where they would stand."""
    assert mark_words("<p>piston</p>", word_forms([]), "x") == "<p>piston</p>"
    assert without_asked(glossary_page(Library(Path("docs"), Shop(name="Quay Lane"), {}))) == (
        "---\ntitle: Words\n---\n\n# Words\n\nNo words yet. Add them to `shop.yml`, under `words`.\n"
    )


def test_the_glossary_explains_each_word_under_its_letter() -> None:
    """In the order of the alphabet, each with an anchor and its other names; what an author wrote is text, not markup."""
    words = {found.id: found for found in (SNAP, word("Land", "Between <two> grooves."), word("lug", "A tooth."))}
    page = glossary_page(Library(Path("docs"), Shop(name="Quay & Lane", words=words), {}))
    assert without_asked(page) == (
        "---\ntitle: Words\n---\n\n# Words\n\n"
        "What the words of the trade mean at Quay &#38; Lane. Press one in a page and you see the same.\n\n"
        '## L\n\n<dl class="bench-words"><dt id="word-land">Land</dt><dd>Between &lt;two&gt; grooves.</dd>'
        '<dt id="word-lug">lug</dt><dd>A tooth.</dd></dl>\n\n'
        '## S\n\n<dl class="bench-words"><dt id="word-snap-ring">snap ring</dt><dd>A springy ring.</dd>'
        '<dd class="bench-words-also">Also: circlip, retaining ring</dd></dl>\n'
    )
    source, problems = read_page(page, GLOSSARY)
    assert problems == ()
    html = BeautifulSoup(markdown(source.text, extensions=EXTENSIONS), "html.parser")
    assert [found["id"] for found in html.select("dl > dt")] == ["word-land", "word-lug", "word-snap-ring"]


@pytest.fixture(scope="module")
def demo() -> Library:
    """The demo manual's data."""
    library, _ = load(ROOT / "docs")
    assert library is not None
    return library


def test_each_word_of_the_demo_has_an_anchor_of_its_own(demo: Library) -> None:
    """Two words never lead to one place."""
    anchors = [anchor_of(found) for found in demo.shop.words.values()]
    assert len(set(anchors)) == len(anchors) > 80
    assert all(re.fullmatch(r"word-[\w-]+", anchor) for anchor in anchors)


def test_the_demo_keeps_its_text_and_gains_its_marks(demo: Library) -> None:
    """On every page: the text is the same, every mark leads to an entry of the glossary, none stands where none may."""
    forms = word_forms(demo.shop.words.values())
    entries = set(re.findall(r'<dt id="([^"]+)"', glossary_page(demo)))
    pages, _ = read_pages(ROOT / "docs", demo)
    marks = 0
    for page in pages.by_path.values():
        html = markdown(page.source.text, extensions=EXTENSIONS)
        after = mark_words(html, forms, "w")
        soup = BeautifulSoup(after, "html.parser")
        assert soup.get_text() == BeautifulSoup(html, "html.parser").get_text()
        found = soup.select("a.bench-word")
        assert {str(mark["href"]).removeprefix("w#") for mark in found} <= entries
        assert [mark for mark in found if mark.find_parent(ALONE)] == []
        assert mark_words(after, forms, "w") == after
        marks += len(found)
    assert marks > 400


class Reading(HTMLParser):
    """The text of a page, its tags without our marks, and the tags that each mark stands in."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=False)
        self.text = ""
        self.tags: list[str] = []
        self.around: list[list[str]] = []
        self._open: list[str] = []
        self._in_mark = False
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Goes in."""
        if ("class", "bench-word") in attrs and not self._in_mark:
            self._in_mark = True
            self.around.append(list(self._open))
            return
        self.tags.append(self.get_starttag_text() or "")
        self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Goes out."""
        if self._in_mark and tag == "a":
            self._in_mark = False
            return
        self.tags.append(f"</{tag}>")
        if tag in self._open:
            while self._open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        """Reads on."""
        self.text += data

    def handle_entityref(self, name: str) -> None:
        """Reads an entity."""
        self.text += f"&{name};"


TEXTS: Final = st.lists(
    st.sampled_from(["piston", "Pistons", "snap", " ring", "\n", " ", ".", ",", "seal", "hub", "circlip", "&amp;", "&nbsp;", "é", "-", "1"]),
    max_size=8,
).map("".join)  # fmt: skip
TAGS: Final = st.sampled_from(["p", "em", "div", "li", "h2", "a", "code", "pre", "label", "svg", "button", "bench-calc", "td"])
TREES: Final = st.recursive(
    TEXTS,
    lambda inner: st.tuples(
        TAGS, st.lists(inner, max_size=4), st.sampled_from(["", ' title="piston"', " class='bench-stack'"])
    ).map(lambda made: f"<{made[0]}{made[2]}>{''.join(made[1])}</{made[0]}>"),
    max_leaves=20,
)


@given(TREES)
def test_marks_change_no_text_and_no_markup(html: str) -> None:
    """Whatever the page: same text, same tags, marks closed and never where none may stand, and a second time changes nothing."""
    after = mark_words(html, WORDS, "w")
    before, read = Reading(html), Reading(after)
    assert read.text == before.text
    assert read.tags == before.tags
    assert all(not set(around) & set(ALONE) for around in read.around)
    assert mark_words(after, WORDS, "w") == after


@given(st.text(alphabet="<>/&;\"'=! -pistonhubacde\n", max_size=60))
def test_broken_markup_is_no_stumble(html: str) -> None:
    """Only marks are added, whatever the page: taking them out gives the page back."""
    after = mark_words(html, WORDS, "w")
    assert (
        re.sub(r'<a class="bench-word" href="w#[\w-]*" data-bench="word"[^>]*>(.*?)</a>', r"\1", after, flags=re.DOTALL) == html
    )


def test_the_name_of_the_shop_is_text_in_its_page() -> None:
    """Neither a link nor an attribute nor an element can be made of it."""
    name = "[z](javascript:x){: onclick=x } <b>"
    page = glossary_page(Library(Path("docs"), Shop(name=name, words={SNAP.id: SNAP}), {}))
    assert f"mean at {markdown_text(name)}. Press" in page


def test_a_reference_behind_a_word_ends_it_unless_it_is_a_letter() -> None:
    """What follows a word may be written as a character reference: a full stop is the end of it, a letter is not."""
    forms = word_forms([SNAP])
    assert mark_words("<p>A snap ring&#33;</p>", forms, "w").count("bench-word") == 1
    assert mark_words("<p>A snap ring&eacute;</p>", forms, "w").count("bench-word") == 0
