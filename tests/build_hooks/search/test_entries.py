"""What can be found: sections, stacks, limits, parts, calculations and words, each with what it shows and where it leads."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Final

import pytest

from build_hooks.bundle.assets import scripts_from
from build_hooks.library import Library, load
from build_hooks.page.reference import reference_pages
from build_hooks.page.source import read_page
from build_hooks.search import INDEX, SCRIPT, Entry, IndexedPage, Kind, entries_of, index_script, write_search
from calc_engine import CATALOGUE

NODE_MODULES: Final = Path(__file__).parents[3] / "node_modules"
SHOP: Final = """\
name: Test shop
words:
  ring: {meaning: A springy ring., also: [clip], misspelt: [rign]}
  nowhere: {meaning: Used in no page.}
"""
UNIT: Final = """\
name: Test 2
drums: {drum: {name: Big drum, order: [main]}}
parts:
  lining: {name: Lining plate, kind: friction, thickness: 1.70 mm ± 0.05, worn_below: 1.50 mm}
  plate: {name: Steel plate, kind: steel, thickness: 1.80 mm, look_alikes: [lining], tell_apart: no lining}
  ring-a: {name: "Ring, blue", kind: snap-ring, thickness: 1.50 mm, mark: blue, number: TR-150}
  ring-b: {name: "Ring, red", kind: snap-ring, thickness: 1.70 mm, mark: red, number: TR-170, once_only: true}
  washer-a: {name: Washer, kind: thrust-washer, thickness: 2.00 mm}
  washer-b: {name: Thick washer, kind: thrust-washer, thickness: 2.20 mm}
packs:
  main:
    name: Main pack
    drum: drum
    stack: [{repeat: 2, of: [plate, lining]}, {part: ring-a, wrong: "left out: it all falls apart", check: {text: Rim to ring., quantity: depth, min: 4 mm, source: standard 1, revision: A}}, {measure: With leaves.}]
    clearance: {min: 0.80 mm, max: 1.20 mm, target: 1.00 mm, at: 3 positions, spread_limit: 0.10 mm, source: standard 1, revision: A}
shafts:
  input: {name: Input shaft, end_play: {min: 0.008 in, max: 0.5 mm, source: standard 2, revision: B}}
selective:
  ring: {name: Ring, choices: [ring-a, ring-b], tightens: [main]}
  washer: {name: Washer, choices: [washer-a, washer-b], tightens: [input]}
"""
STACK: Final = '<figure class="bench-stack" id="s" aria-label="Test 2, Main pack: stack order"><ol><li>x</li></ol></figure>'
SPEC: Final = '<table data-bench="spec"><caption>Test 2, Main pack: clearance</caption></table>'
PAGES: Final = {
    "": IndexedPage("index.md", "Home", "<h1>Home</h1><p>Welcome.</p>"),
    "standards/rings/": IndexedPage("standards/rings.md", "Rings", '<h1>Rings</h1><p>Springy.</p><h2 id="fit">Fit one</h2>Push.'),
    "units/test-2/": IndexedPage("units/test-2/index.md", "Test 2", f"<h1>Test 2</h1><h2 id='l'>Limits</h2>{SPEC}", "test-2"),
    "units/test-2/build/": IndexedPage("units/test-2/build.md", "Build", f"<h1>Build it</h1>{STACK}", "test-2"),
    "calculations/convert/": IndexedPage(
        "calculations/convert.md", "Convert", "<h1>Convert</h1><p>About.</p><h2>Formulas</h2><p>x</p>", made=True
    ),
}


@pytest.fixture
def library(tmp_path: Path) -> Library:
    """A small manual with one unit."""
    folder = tmp_path / "docs" / "units" / "test-2"
    folder.mkdir(parents=True)
    (tmp_path / "docs" / "shop.yml").write_text(SHOP, encoding="utf-8")
    (folder / "unit.yml").write_text(UNIT, encoding="utf-8")
    found, problems = load(tmp_path / "docs")
    assert problems == ()
    assert found is not None
    return found


def test_sections_lead_to_their_anchors(library: Library) -> None:
    """A page is found as itself, its sections at their headings; a page that explains a calculation is one entry."""
    entries = entries_of(PAGES, library)
    assert entries[:7] == (
        Entry(Kind.GUIDE, "Home", "", "", text="Welcome.", words="guide"),
        Entry(Kind.STANDARD, "Rings", "", "standards/rings/", text="Springy.", words="shop standard"),
        Entry(Kind.STANDARD, "Fit one", "Rings", "standards/rings/#fit", text="Push.", words="shop standard"),
        Entry(Kind.UNIT, "Test 2", "", "units/test-2/", words="unit overview"),
        Entry(Kind.UNIT, "Limits", "Test 2", "units/test-2/#l", words="unit overview"),
        Entry(Kind.PROCEDURE, "Build it", "Test 2", "units/test-2/build/", words="procedure how to"),
        Entry(
            Kind.CALCULATION, "Convert", "", "calculations/convert/", "About.", "Formulas x", "calculation calculator form sum"
        ),
    )


def test_a_page_is_found_by_what_its_author_says_of_it(library: Library) -> None:
    """Its description is shown, what it is asked for is only searched; its sections have neither."""
    page = IndexedPage("a.md", "A", "<h1>A</h1>One.<h2 id='b'>B</h2>Two.", description="About it.", asked_as=("lost it", "gone"))
    assert entries_of({"a/": page}, library)[:2] == (
        Entry(Kind.GUIDE, "A", "", "a/", "About it.", "One.", "guide", "lost it. gone"),
        Entry(Kind.GUIDE, "B", "A", "a/#b", text="Two.", words="guide"),
    )


def test_a_calculation_is_found_by_what_its_declaration_says_it_is_asked_for(library: Library) -> None:
    """From the page that is made of it to its entry; every calculation of the engine says something."""
    made = reference_pages()
    for name, calculation in CATALOGUE.items():
        path = f"calculations/{name}.md"
        source, problems = read_page(made[path], path)
        assert (problems, source.facts.asked_as) == ((), calculation.asked_as)
        assert len(calculation.asked_as) > 1, f"{name}: give asked_as two phrases or more, as people would say it."
        page = IndexedPage(path, calculation.title, "<h1>A</h1>About.", made=True, asked_as=source.facts.asked_as)
        (entry,) = (entry for entry in entries_of({"calculations/x/": page}, library) if entry.kind is Kind.CALCULATION)
        assert entry.asked == ". ".join(calculation.asked_as)


def test_a_word_leads_to_the_page_that_uses_it_most(library: Library) -> None:
    """All sections together count, and what the page is asked for; on that page its own section is opened."""
    pages = {
        "standards/a/": IndexedPage("standards/a.md", "A", "<h1>A</h1>Ring, ring."),
        "standards/b/": IndexedPage(
            "standards/b.md", "B", "<h1>B</h1>Ring.<h2 id='c'>C</h2>A ring.", asked_as=("ring flew off",)
        ),
    }
    words = [entry for entry in entries_of(pages, library) if entry.kind is Kind.WORD]
    assert [entry.url for entry in words if entry.title == "ring"] == ["standards/b/"]


def test_a_whole_drum_is_found_beside_its_packs(library: Library) -> None:
    """Where a page shows it; else on the wall."""
    words = "order of parts list assembly whole drum"
    found = Entry(
        Kind.STACK, "Whole Big drum: stack order", "Test 2", "wall/test-2/drum_drum/", "5 parts: Main pack", words=words
    )
    assert [entry for entry in entries_of(PAGES, library) if entry.kind is Kind.STACK][1:] == [found]
    shown = '<h1>B</h1><figure class="bench-stack" id="w" aria-label="Test 2, whole Big drum: stack order"></figure>'
    pages = {**PAGES, "units/test-2/whole/": IndexedPage("units/test-2/whole.md", "B", shown, "test-2")}
    assert [entry.url for entry in entries_of(pages, library) if entry.kind is Kind.STACK][1:] == ["units/test-2/whole/#w"]


def test_a_stack_says_its_clearance_and_leads_to_its_figure(library: Library) -> None:
    """The limits stand in the result itself."""
    (stack, _) = (entry for entry in entries_of(PAGES, library) if entry.kind is Kind.STACK)
    assert stack == Entry(
        Kind.STACK,
        "Main pack: stack order",
        "Test 2",
        "units/test-2/build/#s",
        "5 parts in the big drum, 2 of them friction plates; clearance 0.80 to 1.20 mm",
        "In order: Steel plate, Lining plate, Ring, blue. no lining. left out: it all falls apart",
        "order of parts list which way up side",
    )


def test_limits_say_their_figures_and_their_source(library: Library) -> None:
    """Nothing has to be opened to know a limit and where it is from; two units are both said."""
    specs = [entry for entry in entries_of(PAGES, library) if entry.kind is Kind.SPEC]
    assert specs == [
        Entry(
            Kind.SPEC,
            "Main pack clearance",
            "Test 2",
            "units/test-2/#l",
            "0.80 to 1.20 mm, target 1.00 mm, at 3 positions, spread up to 0.10 mm. From standard 1, revision A",
            words="limits spec tolerance",
        ),
        Entry(
            Kind.SPEC,
            "Main pack: depth after the Ring, blue",
            "Test 2",
            "units/test-2/build/#s",
            "at least 4.00 mm. From standard 1, revision A",
            "Rim to ring.",
            "check limits spec tolerance",
        ),
        Entry(
            Kind.SPEC,
            "Input shaft end play",
            "Test 2",
            "units/test-2/",
            "0.008 in to 0.50 mm. From standard 2, revision B",
            words="limits spec tolerance",
        ),
    ]


def test_parts_lead_to_where_they_stand(library: Library) -> None:
    """A part leads to its stack; a size that is not in it to the stack or the limits that it sets."""
    parts = {entry.title: entry for entry in entries_of(PAGES, library) if entry.kind is Kind.PART}
    assert {title: part.url for title, part in parts.items()} == {
        "Lining plate": "units/test-2/build/#s",
        "Steel plate": "units/test-2/build/#s",
        "Ring, blue": "units/test-2/build/#s",
        "Ring, red": "units/test-2/build/#s",
        "Washer": "units/test-2/",
        "Thick washer": "units/test-2/",
    }
    assert parts["Ring, red"] == Entry(
        Kind.PART,
        "Ring, red",
        "Test 2",
        "units/test-2/build/#s",
        "TR-170 · 1.70 mm · red · always new · one of 2 sizes of the Ring",
        "",
        "TR-170 snap ring part number",
    )
    assert parts["Steel plate"].said == "1.80 mm · place 1 of the Main pack"
    assert parts["Steel plate"].text == "Don’t confuse it with Lining plate. no lining"
    assert parts["Lining plate"].said == "1.70 mm ± 0.05 mm · not used below 1.50 mm · place 2 of the Main pack"


def test_a_word_shows_its_meaning(library: Library) -> None:
    """It leads to the page that is about it; one that no page uses leads to the start."""
    words = [entry for entry in entries_of(PAGES, library) if entry.kind is Kind.WORD]
    assert words == [
        Entry(Kind.WORD, "ring", "", "standards/rings/", "A springy ring.", "Also: clip.", "rign"),
        Entry(Kind.WORD, "nowhere", "", "", "Used in no page.", "", ""),
    ]


def test_what_stands_in_no_page_leads_to_the_wall_or_the_unit(library: Library) -> None:
    """A stack that no page shows is on the wall; limits that no page shows lead there too."""
    entries = entries_of({}, library)
    assert {entry.kind: entry.url for entry in entries if entry.title.startswith("Main pack")} == {
        Kind.STACK: "wall/test-2/main/",
        Kind.SPEC: "wall/test-2/main/",
    }
    assert [entry.url for entry in entries if entry.title == "Input shaft end play"] == [""]


def test_the_units_own_procedure_is_preferred(library: Library) -> None:
    """Limits that stand in several pages lead to the procedure, whatever comes first."""
    pages = {
        "standards/a/": IndexedPage("standards/a.md", "A", SPEC),
        "units/test-2/": PAGES["units/test-2/"],
        "units/test-2/z/": IndexedPage("units/test-2/z.md", "Z", f"<h2 id='here'>Here</h2>{SPEC}", "test-2"),
    }
    assert [entry.url for entry in entries_of(pages, library) if entry.title == "Main pack clearance"] == ["units/test-2/z/#here"]


def index_in(script: str) -> dict[str, object]:
    """The data that the index script leaves."""
    read = f"{script}process.stdout.write(JSON.stringify(benchleafSearchIndex))"
    done = subprocess.run(["node", "-e", read], capture_output=True, text=True, check=True)
    data: dict[str, object] = json.loads(done.stdout)
    return data


def test_the_script_holds_any_text_as_a_text() -> None:
    """Quotes, line breaks of every kind, markup and other scripts come out as they went in."""
    hostile = {"entries": [["</script><b>\"'\\ \u2028\u2029 שלום \u202e ends"]]}
    script = index_script(hostile)
    assert index_in(script) == hostile
    assert script.isascii()


def test_script_and_index_are_written(library: Library, tmp_path: Path) -> None:
    """The site gets the box's script and the index, ready made, the same bytes each time."""
    warnings: list[str] = []
    for site in (tmp_path / "one", tmp_path / "two"):
        write_search(site, PAGES, library, scripts_from(NODE_MODULES), warnings.append)
    assert warnings == []
    index = index_in((tmp_path / "one" / INDEX).read_text(encoding="utf-8"))
    assert list(index) == ["fields", "entries", "words", "ready"]
    assert (tmp_path / "one" / SCRIPT).read_bytes()
    for name in (INDEX, SCRIPT):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_without_node_the_page_makes_the_index(library: Library, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The search still works; the author is told what it costs."""
    monkeypatch.setattr(shutil, "which", lambda _: None)
    warnings: list[str] = []
    write_search(tmp_path, PAGES, library, scripts_from(NODE_MODULES), warnings.append)
    assert warnings == [
        "The search index could not be made ready, so the first search of each page takes longer: Node.js is not installed."
    ]
    assert list(index_in((tmp_path / INDEX).read_text(encoding="utf-8"))) == ["fields", "entries", "words"]
