"""What is not allowed in a page is told with its place, and what is served holds nothing else than what was read."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from build_hooks.edition import prepare
from build_hooks.markdown.assets import svg_faults
from build_hooks.markdown.page_html import clean_html, html_faults

OUT = "Take it out."


def told(page: str, blocks: int = 0) -> list[tuple[int, int, str, str]]:
    """Line, column, message and remedy of each fault."""
    return [(fault.mark.line, fault.mark.column, fault.message, fault.remedy) for fault in html_faults(page, blocks)]


def no_tag(tag: str) -> tuple[str, str]:
    """What is said of an element."""
    return f"“<{tag}>” is not allowed in a page.", f"Take it out, or write “&lt;{tag}>” where it is to be shown."


def no_attribute(name: str, tag: str) -> tuple[str, str]:
    """What is said of an attribute."""
    return f"“{name}” of “<{tag}>” is not allowed in a page.", OUT


def no_link(address: str) -> tuple[str, str]:
    """What is said of an address that runs."""
    return (
        f"“{address}” leads to no page and could run in this one.",
        "Name a page or a file by its path, or an address with https.",
    )


def no_host(address: str, tag: str) -> tuple[str, str]:
    """What is said of a picture and the like from elsewhere."""
    return (
        f"“{address}” is on another host, and a page calls none.",
        f"Put the file of this {tag} into the docs folder and name it by its path.",
    )


@pytest.mark.parametrize(
    ("line", "column", "said"),
    [
        ("Text <script>go()</script>", 6, no_tag("script")),
        ("<SCRIPT src=x.js></SCRIPT>", 1, no_tag("script")),
        ('<iframe srcdoc="x"></iframe>', 1, no_tag("iframe")),
        ("<object data=x></object>", 1, no_tag("object")),
        ("<embed src=x>", 1, no_tag("embed")),
        ('a <base href="/x">', 3, no_tag("base")),
        ("<meta http-equiv=refresh content=1>", 1, no_tag("meta")),
        ("<form action=/x></form>", 1, no_tag("form")),
        ("<style>@import 'x';</style>", 1, no_tag("style")),
        ("<link rel=stylesheet href=x.css>", 1, no_tag("link")),
        ("<template><b>x</b></template>", 1, no_tag("template")),
        ("<svg><animate attributeName=href></animate></svg>", 6, no_tag("animate")),
        ("<svg><foreignObject></foreignObject></svg>", 6, no_tag("foreignobject")),
        ("Put in the <part name> here", 12, no_tag("part")),
        ("A <b onclick='go()'>b</b>", 6, no_attribute("onclick", "b")),
        ("![a](x.png){: onerror=go }", 15, no_attribute("onerror", "img")),
        ("[a](x.md){ onmouseover=go }", 12, no_attribute("onmouseover", "a")),
        ("<svg onload=go></svg>", 6, no_attribute("onload", "svg")),
        ("<img name=getElementById src=x.png>", 6, no_attribute("name", "img")),
        ("<b data-md-component=consent>b</b>", 4, no_attribute("data-md-component", "b")),
        ("[a](javascript:go)", 5, no_link("javascript:go")),
        ("[a](  JavaScript:go)", 7, no_link("JavaScript:go")),
        ("[a]: vbscript:go\n\n[a]", 6, no_link("vbscript:go")),
        ("<a href='java&#115;cript:go'>a</a>", 4, no_link("javascript:go")),
        ("[a](data:text/html;base64,AAAA)", 5, no_link("data:text/html;base64,AAAA")),
        ("![a](https://example.org/a.png)", 6, no_host("https://example.org/a.png", "img")),
        ("<img src='//example.org/a.png'>", 11, no_host("//example.org/a.png", "img")),
        ("<img srcset='a.png 1x, https://example.org/b.png 2x'>", 24, no_host("https://example.org/b.png", "img")),
        ("<video poster='\\\\example.org/a.png'></video>", 16, no_host("\\\\example.org/a.png", "video")),
    ],
)  # fmt: skip
def test_what_may_not_stand_in_a_page_is_told_with_its_place(line: str, column: int, said: tuple[str, str]) -> None:
    """One line for each, and the place is where the author wrote it."""
    expected = (3, column, *said)
    if "&#115;" in line:
        # Written in another way than it is read: the element's line is not found by its address, the page's top is named.
        expected = (1, 1, *said)
    assert told(f"`<script>` is shown.\n\n{line}\n") == [expected]


def test_a_style_that_loads_is_told() -> None:
    """Plain values may stand, for Markdown's own tables have them."""
    assert told('<b style="background: url(x)">b</b>') == [
        (1, 11, "The style “background: url(x)” may load something.", "Take it out, or use plain values only.")
    ]
    assert told("| a |\n|--:|\n| b |\n\n<b style='color: #333'>b</b>") == []


def test_each_is_told_at_its_own_place() -> None:
    """Two of a kind are two places; code and listings are none."""
    page = "<script>a</script>\n\n```html\n<script>b</script>\n```\n\nText `<script>` and <script>c</script>\n"
    assert [fault.mark for fault in html_faults(page, 0)] == [(1, 1), (7, 21)]


@pytest.mark.parametrize(
    "page",
    [
        "Press <kbd>Enter</kbd>.<br>\n", "<table><tr><td colspan=2>a</table>", "<details open><summary>a</summary>b</details>",
        "H<sub>2</sub>O, 1 < 2 and 3 > 2, a <- b, <3", "<https://example.org> and [a](https://example.org) <a@example.org>",
        "[a](tel:123) [b](mailto:a@example.org) [c](x.md#y) [d](/z/)", "![a](x.png){ width=300 .wide #pic loading=lazy }",
        "<div markdown>**a**</div>", "<!-- a note -->", "&lt;script&gt;", "    <script>listed</script>", "<audio src=a.mp3 controls></audio>",
        '!!! hold "Ask"\n    Is it <b>flat</b>?\n', "# A {#b}\n", "- [ ] a\n",
    ],
)  # fmt: skip
def test_harmless_html_may_stand(page: str) -> None:
    """Markdown's own, and what authors use to set text."""
    assert told(page) == []


def test_a_marker_that_is_not_ours_is_told() -> None:
    """A page that writes the mark of a block cannot have a block twice, or one that is not there."""
    ours, theirs = '<div data-bench-block="0"></div>', '<div data-bench-block="7"></div>'
    assert told(f"{ours}\n\n{ours}\n\n{theirs}\n", 1) == [
        (3, 6, *no_attribute("data-bench-block", "div")),
        (5, 6, *no_attribute("data-bench-block", "div")),
    ]


PIECES = st.lists(
    st.sampled_from(
        ["<script>", "</script>", "<!--", "-->", "--!>", "<![CDATA[", "]]>", "<svg>", "</svg>", "<math>", "<style>", "</style>", "<p>", "</p>",
         "<img src=x onerror=__x=1>", "<a href=javascript:x>", "<b title='", '"', "'", ">", "<", "</div>", "</main>", "<?php", "<textarea>",
         "<noscript>", "<title>", "<table>", "<td>", "<a href='x", "<mtext>", "<xmp>", "&lt;", "&", "a", " ", "\n", "\0", "<plaintext>", "/>"]
    ),
    max_size=12,
)  # fmt: skip


@given(PIECES)
def test_what_is_written_holds_nothing_that_runs(pieces: list[str]) -> None:
    """Whatever a page is made of: another parser finds no element and no attribute of another list in what is served."""
    clean, _ = clean_html("".join(pieces))
    soup = BeautifulSoup(clean, "html.parser")
    assert {tag.name for tag in soup.find_all(name=True)} <= {"svg", "math", "p", "img", "a", "b", "table", "td", "mtext"}
    assert {name for tag in soup.find_all(name=True) for name in tag.attrs} <= {"src", "href", "title"}
    assert not [tag for tag in soup.find_all("a") if str(tag.get("href")).startswith("javascript")]
    assert "<!" not in clean
    assert clean_html(clean) == (clean, ())


def test_an_end_without_a_beginning_does_not_end_the_page() -> None:
    """Nor does an element without an end take in the page's foot."""
    assert clean_html("a</div></article>b<ul><li>c<div>d")[0] == "ab<ul><li>c<div>d</div></ul>"


def test_check_and_build_refuse_such_a_page(tmp_path: Path) -> None:
    """The whole line, for a page, a drawing and a page of HTML."""
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    (tmp_path / "index.md").write_text("---\ntitle: A\n---\n\nText <script>go()</script>\n", encoding="utf-8")
    (tmp_path / "a.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg">\n <script>go()</script></svg>', encoding="utf-8")
    (tmp_path / "b.html").write_text("<p>", encoding="utf-8")
    (tmp_path / "c.markdown").write_text("<script>", encoding="utf-8")
    edition, problems = prepare(tmp_path, date(2026, 11, 25))
    assert edition is None
    assert [str(problem).removeprefix(f"{tmp_path.as_posix()}/") for problem in problems] == [
        "a.svg:2:2: “<script>” is not allowed in a drawing. Save the drawing as a plain SVG, without scripts and links.",
        "b.html:1:1: A file .html is a page that nothing checks. Write it as Markdown, or leave it out.",
        "c.markdown:1:1: A page does not end in .markdown. Rename it to c.md.",
        "index.md:5:6: “<script>” is not allowed in a page. Take it out, or write “&lt;script>” where it is to be shown.",
    ]


SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"{}>{}</svg>'


@pytest.mark.parametrize(
    ("attributes", "inside", "message"),
    [
        (' onload="go()"', "", "“onload” is not allowed in a drawing."),
        ("", '<a xlink:href="javascript:go()"/>', "“javascript:go()” may not be loaded by a drawing."),
        ("", '<image href="https://example.org/a.png"/>', "“https://example.org/a.png” may not be loaded by a drawing."),
        ("", '<set attributeName="href" to="x"/>', "“<set>” is not allowed in a drawing."),
        ("", "<foreignObject/>", "“<foreignobject>” is not allowed in a drawing."),
        ("", '<b xmlns="http://www.w3.org/1999/xhtml"/>', "“<b>” is not allowed in a drawing."),
        ("", '<style>@import "x";</style>', "The style of this drawing loads something."),
        ("", '<path fill="url(https://example.org/x)"/>', "“url(https://example.org/x)” may not be loaded by a drawing."),
        ("", "<?xml-stylesheet href='x'?>", "“<?xml-stylesheet” is not allowed in a drawing."),
    ],
)
def test_a_drawing_that_runs_or_loads_is_told(attributes: str, inside: str, message: str) -> None:
    """An SVG can be opened as a page of its own."""
    faults = svg_faults(SVG.format(attributes, inside).encode())
    assert [(fault.message, fault.remedy) for fault in faults] == [
        (message, "Save the drawing as a plain SVG, without scripts and links.")
    ]


def test_a_plain_drawing_may_stand_and_a_broken_one_may_not() -> None:
    """Gradients, links within the drawing and pictures that it carries are plain."""
    inside = '<defs/><use href="#a"/><path fill="url(#b)"/><image href="data:image/png;base64,AA=="/><style>p{fill:red}</style>'
    assert svg_faults(SVG.format("", inside).encode()) == ()
    assert [fault.message for fault in svg_faults(b"<svg><p>")] == ["This is no SVG that a browser can show."]


@pytest.mark.parametrize(
    "text", ["a<![CDAT1 [b]]>c", "a<![x>c", "a<![[>c", "a<![CDAT1 [b", "a<![", "a<![CDATA[b]]>c", "a<![if x]>c<![endif]>"]
)
def test_a_marked_section_that_nobody_knows_is_a_comment(text: str) -> None:
    """Found by fuzzing: the standard library's parser ends with an assertion there."""
    clean, _ = clean_html(text)
    assert clean.startswith("a")
    assert "<" not in clean
