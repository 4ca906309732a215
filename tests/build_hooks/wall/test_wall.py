"""The wall view's pages: every part in order, letters large enough, markup sound whatever the data says."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_hooks.library import Library, load
from build_hooks.wall import letter_size, wall_pages
from build_hooks.wall.pages import Place
from calc_engine import element

DEMO = Path(__file__).parents[3] / "docs"
PLACE = Place(
    "2026-11-25",
    lambda unit, pack: element("svg", {}, element("title", {}, f"{unit.id} {pack.id}")),
    lambda path: f"data:{path}",
)


@pytest.fixture(scope="module")
def library() -> Library:
    """The demo's data."""
    found, problems = load(DEMO)
    assert problems == ()
    assert found is not None
    return found


def test_every_pack_has_its_page(library: Library) -> None:
    """Start, one page a unit, one page a pack, at the fixed places."""
    pages = wall_pages(library, PLACE)
    expected = {"wall/index.html"}
    for unit in library.units.values():
        expected.add(f"wall/{unit.id}/index.html")
        expected |= {f"wall/{unit.id}/{pack.id}/index.html" for pack in unit.packs.values()}
    assert set(pages) == expected


def test_the_stack_has_one_entry_for_each_physical_part(library: Library) -> None:
    """In the order it goes in; the drawing stands outside, so that nothing is counted twice."""
    pages = wall_pages(library, PLACE)
    for unit in library.units.values():
        for pack in unit.packs.values():
            soup = BeautifulSoup(pages[f"wall/{unit.id}/{pack.id}/index.html"], "html.parser")
            found = [part["data-part"] for part in soup.select("[data-bench=stack] [data-part]")]
            assert found == [entry.part.id for entry in pack.physical_stack]
            assert soup.svg is not None
            assert soup.svg.title is not None
            assert soup.svg.title.text == f"{unit.id} {pack.id}"


def test_any_stack_is_three_presses_away(library: Library) -> None:
    """Units and packs carry number keys: two presses from the start screen, up to nine of each."""
    pages = wall_pages(library, PLACE)
    for path, page in pages.items():
        numbers = [link["data-number"] for link in BeautifulSoup(page, "html.parser").select("a[data-number]")]
        assert numbers == [str(number) for number in range(1, len(numbers) + 1)], path
        assert len(numbers) <= 9


def test_letters_subtend_twenty_minutes_of_arc(library: Library) -> None:
    """Height over distance is 0.00582 (NUREG-0700 rev. 3, 11.4.1.5-1 gives 0.006 for 20 minutes, rounded)."""
    for screen in library.shop.screens.values():
        size = letter_size(screen)
        assert float(size.capital_mm / screen.distance.base) == pytest.approx(0.00581778, abs=5e-9)
        capital_on_glass = size.size_vh / 100 * size.screen_mm * 668 / 1000
        assert float(capital_on_glass) == pytest.approx(float(size.capital_mm), rel=1e-9)


def test_a_43_inch_picture_is_535_mm_high(library: Library) -> None:
    """43 in x 25.4 x 9 / sqrt(337), by Pythagoras on a 16 to 9 picture."""
    screen = next(found for found in library.shop.screens.values() if found.diagonal.value == 43)
    assert float(letter_size(screen).screen_mm) == pytest.approx(535.46, abs=0.005)
