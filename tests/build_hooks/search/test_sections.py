"""A page is taken apart into its sections: what a reader sees of each, and which blocks stand in it."""

from __future__ import annotations

import pytest

from build_hooks.search.sections import Section, sections_of

PAGE = """\
<h1 id="drum">Front drum<a class="headerlink" href="#drum">&para;</a></h1>
<div class="bench-standing"><strong>Approved</strong><span>Revision C</span></div>
<p>Two packs &amp; one <em>reaction</em> plate.</p>
<h2 id="fit">Fit the ring</h2>
<ol><li>Wipe the groove.</li><li>Press <strong>down</strong>.</li></ol>
<figure class="bench-stack" id="stack-alder-4-forward" aria-label="Alder 4, Forward pack: stack order">
<svg><title>A drawing</title><text>7</text></svg><ol data-bench="stack"><li data-part="ring">Ring</li></ol></figure>
<p>After.</p>
<table data-bench="spec"><caption>Alder 4, Forward pack: clearance</caption><tr><td>0.90 mm</td></tr></table>
<h3>No anchor here</h3><p>Last</p>
"""


def test_a_section_holds_what_stands_under_its_heading() -> None:
    """Each heading makes a section; the strip, drawings and blocks with entries of their own are no text of it."""
    assert sections_of(PAGE) == (
        Section(1, "Front drum", "drum", "Two packs & one reaction plate."),
        Section(
            2,
            "Fit the ring",
            "fit",
            "Wipe the groove. Press down. After.",
            [("Alder 4, Forward pack: stack order", "stack-alder-4-forward"), ("Alder 4, Forward pack: clearance", "")],
        ),
        Section(3, "No anchor here", "", "Last"),
    )


def test_what_stands_before_any_heading_is_a_section_too() -> None:
    """A page without a heading can be found."""
    assert sections_of("<p>Only words.</p>") == (Section(0, "", "", "Only words."),)


@pytest.mark.parametrize(
    ("html", "text"),
    [
        ("<p>one<p>two", "one two"),
        ("<p>one<br>two</p>", "one two"),
        ("<td>FR</td><td>157</td>", "FR 157"),
        ("fr<b>ict</b>ion", "friction"),
        ("a</p></div>b", "a b"),
        ("<script>let a = 1</script><style>p{}</style>x", "x"),
        ("<svg><p>in a drawing</p></svg>after", "after"),
        ("<div hidden>unseen</div>seen", "seen"),
        ("<div class='bench-standing'><p>strip<p>more</div>after", "after"),
        ("&lt;b&gt; &#x202E;x", "<b> \u202ex"),
        ("<math><mi>x</mi></math>sum", "sum"),
        ("", ""),
    ],
)
def test_text_is_read_as_a_browser_would(html: str, text: str) -> None:
    """Broken markup loses no words, joins none that stand apart and parts none that stand together."""
    assert " ".join(section.text for section in sections_of(html)) == text
