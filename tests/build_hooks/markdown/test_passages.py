"""Words are found in a page whatever stands between them, and their heading's address is Markdown's own."""

from __future__ import annotations

import markdown
import pytest

from build_hooks.markdown.passages import Passage, passage_of, title_of

PAGE = """\
---
title: "Wash: twice"
---
# Washing

First of all.

## Look, *then* wash

| You see | Do |
|---|---|
| **grit** | wash [once more](x.md) |

!!! hold
    0 bits left on the cloth?

## Again

```text
# not a heading
listed only
```

## Again

Said under the second.

## Own {#mine}

Under its own name.
"""


@pytest.mark.parametrize(
    ("words", "passage"),
    [
        ("first of all", Passage("Washing", None)),
        ("Grit: wash once more", Passage("Look, then wash", "look-then-wash")),
        ("0 bits left", Passage("Look, then wash", "look-then-wash")),
        ("under the second", Passage("Again", "again_1")),
        ("its own name", Passage("Own", "mine")),
        ("listed only", None),
        ("cloth again", None),
        ("bit", None),
        ("…", None),
    ],
)
def test_where_words_stand(words: str, passage: Passage | None) -> None:
    """In order, whole words, within one section, outside listings."""
    assert passage_of(PAGE, words) == passage


def test_addresses_are_those_that_markdown_makes() -> None:
    """Of headings with signs in them, and of two that are alike."""
    html = markdown.markdown(PAGE.partition("\n---\n")[2], extensions=["toc", "attr_list", "fenced_code"])
    for anchor in ("look-then-wash", "again_1", "mine"):
        assert f'id="{anchor}"' in html


@pytest.mark.parametrize(
    ("page", "title"),
    [
        (PAGE, "Wash: twice"),
        ("# Heading\n", "Heading"),
        ("---\nstatus: {state: draft}\n---\n# Of the page\n", "Of the page"),
        ("words", None),
    ],
)
def test_what_a_page_calls_itself(page: str, title: str | None) -> None:
    """Front matter first, then the heading."""
    assert title_of(page) == title
