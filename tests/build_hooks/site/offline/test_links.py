"""Links of a page that is opened from a folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.site.offline.keeping import with_script, without_script
from build_hooks.site.offline.links import for_folder, link_for_folder
from build_hooks.site.offline.tags import change_tags


@pytest.fixture
def page(tmp_path: Path) -> Path:
    """A page in a folder of a small manual; one folder holds a page, one has an odd name, one none."""
    for name in ("index.html", "units/index.html", "units/oak/index.html", "it's 5 & 6/index.html", "files/data.yml"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).touch()
    return tmp_path / "units" / "index.html"


@pytest.mark.parametrize(
    ("link", "named"),
    [
        (".", "./index.html"),
        ("./", "./index.html"),
        ("..", "../index.html"),
        ("../", "../index.html"),
        ("oak/", "oak/index.html"),
        ("oak", "oak/index.html"),
        ("oak/#stack", "oak/index.html#stack"),
        ("../units/?search=a/b#c", "../units/index.html?search=a/b#c"),
        ("../it's%205%20&%206/", "../it's%205%20&%206/index.html"),
        ("oak/index.html", "oak/index.html"),
        ("../files/", "../files/"),
        ("../files/data.yml", "../files/data.yml"),
        ("nowhere/", "nowhere/"),
        ("", ""),
        ("#stack", "#stack"),
        ("?search=oak/", "?search=oak/"),
        ("/", "/"),
        ("//host/", "//host/"),
        ("https://host/units/", "https://host/units/"),
        ("mailto:someone@host", "mailto:someone@host"),
        ("data:text/plain,oak/", "data:text/plain,oak/"),
    ],
)
def test_a_link_to_a_folder_names_its_page(link: str, named: str, page: Path) -> None:
    """Only where the folder has a page; everything else stays as it is."""
    assert link_for_folder(link, page) == named


def test_only_links_of_tags_are_changed(page: Path) -> None:
    """However they are written; never text, scripts, comments or other attributes."""
    text = (
        "<!-- <a href='oak/'> -->\n<A class=x HREF=oak/ title='a href=\"oak/\"'>href=\"oak/\"</A>\r\n"
        '<a\n href=\'oak/\'\n>x</a><area href = "../it&#39;s%205%20&amp;%206/"/><link rel=prev href="..">'
        '<script>const a = \'<a href="oak/">\';</script><img src="oak/"><a>no link</a><a href>none</a>'
    )
    assert for_folder(text, page) == (
        '<!-- <a href=\'oak/\'> -->\n<A class=x HREF="oak/index.html" title=\'a href="oak/"\'>href="oak/"</A>\r\n'
        '<a\n href="oak/index.html"\n>x</a><area href = "../it&#x27;s%205%20&amp;%206/index.html"/><link rel=prev href="../index.html">'
        '<script>const a = \'<a href="oak/">\';</script><img src="oak/"><a>no link</a><a href>none</a>'
    )


def test_a_change_of_nothing_changes_nothing() -> None:
    """Every byte of a page comes back, broken markup and all."""
    text = 'ä<p a=1 a="2">\n\n<b\tc>&amp;&nosuch;<!DOCTYPE x><x y=\'"\'>\r\n<![CDATA[<q>]]></p></p><i>end<'
    assert change_tags(text, {"p", "b", "x", "i"}, lambda tag, given, raw: raw) == text


def test_of_an_attribute_given_twice_the_first_counts(page: Path) -> None:
    """As in a browser."""
    assert for_folder('<a href="oak/" href="nowhere/">x</a>', page) == '<a href="oak/index.html" href="nowhere/">x</a>'


def test_a_script_is_put_in_once_and_taken_out() -> None:
    """Before the last end of the body; a page without one is left alone."""
    page = "<body><pre>&lt;/body></pre></body ></html>"
    tag = '<script src="../../assets/benchleaf/offline.js" defer></script>'
    with_it = f"<body><pre>&lt;/body></pre>{tag}</body ></html>"
    assert with_script(page, "../../") == with_it
    assert with_script(with_it, "../../") == with_it
    assert without_script(with_it) == page
    assert with_script("<p>half a page", "") == "<p>half a page"
