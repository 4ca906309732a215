"""What a page has for its print alone."""

from __future__ import annotations

from datetime import date

from build_hooks.markdown.html import html_of
from build_hooks.model import Status
from build_hooks.page.printed import printed_code, running_head, sign_off

DAY = date(2026, 11, 28)


def test_the_head_names_unit_page_revision_and_edition() -> None:
    """A page without unit or revision leaves them out."""
    assert html_of(running_head("Alder 4", "Front drum", Status(revision="C"), DAY)) == (
        '<style>@page{@top-left{content:"Alder 4 · Front drum"}'
        '@top-right{content:"Revision C · Edition of 2026-11-28 · " "sheet " counter(page) " of " counter(pages)}}</style>'
    )
    assert html_of(running_head("", "Seals", None, DAY)) == (
        '<style>@page{@top-left{content:"Seals"}'
        '@top-right{content:"Edition of 2026-11-28 · " "sheet " counter(page) " of " counter(pages)}}</style>'
    )


def test_a_title_that_names_its_unit_is_not_given_it_twice() -> None:
    """Authors write it in front."""
    assert '"Alder 4 front drum"' in html_of(running_head("Alder 4", "Alder 4 front drum", None, DAY))


def test_no_title_ends_the_text_that_it_stands_in() -> None:
    """Quotes, tags, escapes and line breaks are written as numbers."""
    written = html_of(running_head("", '"}</style><script>x\\\n&amp;', None, DAY))
    assert written.startswith(
        '<style>@page{@top-left{content:"\\22 \\7d \\3c \\2f style\\3e \\3c script\\3e x\\5c \\a \\26 amp\\3b "}'
    )


def test_the_code_says_what_it_opens() -> None:
    """In words under it."""
    written = html_of(printed_code("http://bench.local/a/"))
    assert 'alt="Opens http://bench.local/a/ on a phone"' in written
    assert "<figcaption>Opens this page on a phone, in its newest edition</figcaption>" in written


def test_there_is_a_line_for_each_thing_to_fill_in() -> None:
    """They are for a pen: nobody is read them."""
    assert html_of(sign_off()) == (
        '<section class="bench-sign-off" aria-hidden="true"><p>Job</p><p>Date</p><p>Name</p><p>Signature</p></section>'
    )
