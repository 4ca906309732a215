"""The search itself, on a handful of entries: numbers in pieces, other words, typing errors, half-typed words, order."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from build_hooks.search import Entry, Kind, WordGroup, index_data, index_script
from tests.build_hooks.search.asking import ask

ENTRIES = (
    Entry(Kind.STANDARD, "Snap rings", "", "rings/", text="A ring leaves its groove fast. Wear safety glasses."),
    Entry(Kind.STANDARD, "Fit one", "Snap rings", "rings/#fit", text="Wipe the groove. Set the gap on a land."),
    Entry(Kind.STANDARD, "Friction plates", "", "plates/", text="Measure the lining of each plate. Soak the plates in fluid."),
    Entry(Kind.SPEC, "Forward pack clearance", "Alder 4", "alder/", "0.90 to 1.40 mm. From shop standard FL-12, revision C"),
    Entry(Kind.PROCEDURE, "Set the clearance", "Low-reverse brake", "brake/#set", text="Measure. Compare with the limits."),
    Entry(Kind.PART, "Forward ring", "Alder 4", "alder/#a", "FR-157 · 1.57 mm ± 0.02 mm · one paint dot"),
    Entry(Kind.PART, "Forward ring", "Alder 4", "alder/#b", "FR-178 · 1.78 mm ± 0.02 mm · two paint dots"),
    Entry(Kind.PART, "High ring", "Hazel 2", "hazel/", "HR-062 · 0.062 in ± 0.001 in"),
    Entry(Kind.WORD, "soak", "", "plates/#soak", "To let new plates stand in clean fluid.", "Also: remojo."),
    Entry(
        Kind.STANDARD,
        "Pausing a job",
        "",
        "pausing/",
        text="Tag each part.",
        asked="stopped halfway. lunch break. magnetic tray. belt",
    ),
    Entry(Kind.STANDARD, "Hand over", "Pausing a job", "pausing/#over", text="Tell where it was stopped."),
    Entry(Kind.STANDARD, "Dial", "", "dial/", text="A magnet holds the stand while a lockup is read."),
    Entry(
        Kind.STANDARD, "As a comeback", "Pump", "pump/#back", text="The stopped pump was halfway dry, after a break of the belt."
    ),
    Entry(Kind.GUIDE, "Über <b>alles</b> שלום", "", "odd/", text="Anything."),
)
WORDS = (
    WordGroup("snap ring", ("circlip", "anillo de retención"), ("snap rign",)),
    WordGroup("friction plate", ("friction", "fibre", "disco de fricción"), ("friciton",)),
    WordGroup("clearance", ("free play", "holgura"), ("clearence",)),
    WordGroup("soak", ("dip", "remojo")),
)


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The index without the ready part: what a page makes where the build could not."""
    path = tmp_path_factory.mktemp("index") / "index.js"
    path.write_text(index_script(index_data(ENTRIES, WORDS)), encoding="utf-8")
    return path


def first(answer: dict[str, Any]) -> str | None:
    """Where the first find leads."""
    return answer["finds"][0]["url"] if answer["finds"] else None


@pytest.mark.parametrize(
    ("typed", "url"),
    [
        ("FR-157", "alder/#a"),
        ("fr157", "alder/#a"),
        ("Fr 157", "alder/#a"),
        ("157", "alder/#a"),
        ("fr.157", "alder/#a"),
        ("FR/178", "alder/#b"),
        ("fr-17", "alder/#b"),
        ("1.78", "alder/#b"),
        ("1,78 mm", "alder/#b"),
        ("1.78mm", "alder/#b"),
        ("hr 62", "hazel/"),
        (".062", "hazel/"),
        ("0.062in", "hazel/"),
        ("062 ring", "hazel/"),
        ("fl12", "alder/"),
        ("0.90 clearance", "alder/"),
    ],
)
def test_a_number_is_found_however_it_is_written(index: Path, typed: str, url: str) -> None:
    """Whole or in pieces, with hyphens, dots, commas or none, with its unit close behind, with its zeros or without."""
    assert first(ask(index, [typed])[0]) == url


@pytest.mark.parametrize(
    ("typed", "url", "instead"),
    [
        ("circlip", "rings/", ["snap ring"]),
        ("circlips", "rings/", ["snap ring"]),
        ("anillo de retencion", "rings/", ["snap ring"]),
        ("ANILLO DE RETENCIÓN", "rings/", ["snap ring"]),
        ("anillos retención", "rings/", ["snap ring"]),
        ("fibre", "plates/", ["friction plate"]),
        ("free play forward", "alder/", ["clearance"]),
        ("holgura", "alder/", ["clearance"]),
        ("snap ring", "rings/", []),
    ],
)
def test_other_words_find_what_the_manual_calls_it(index: Path, typed: str, url: str, instead: list[str]) -> None:
    """In English and Spanish, with or without accents; the reader is told which word was looked for."""
    (answer,) = ask(index, [typed])
    assert (first(answer), answer["instead"]) == (url, instead)


@pytest.mark.parametrize(
    ("typed", "url"),
    [
        ("friciton plates", "plates/"),
        ("clearence", "alder/"),
        ("clearnace", "alder/"),
        ("grovoe", "rings/#fit"),
        ("linning", "plates/"),
        ("glases", "rings/"),
        ("circilp", "rings/"),
        ("holgrua", "alder/"),
        ("snapring", "rings/"),
    ],
)
def test_typing_errors_are_forgiven(index: Path, typed: str, url: str) -> None:
    """Listed ones and any other: a letter too many, too few, changed, or two changed over; two words run together."""
    assert first(ask(index, [typed])[0]) == url


@pytest.mark.parametrize("typed", ["fr-158", "159", "1.79", "hr-063"])
def test_a_figure_is_never_taken_for_another(index: Path, typed: str) -> None:
    """A part number that is one off is another part."""
    (answer,) = ask(index, [typed])
    assert answer["whole"] == 0
    assert typed not in {find["said"] for find in answer["finds"]}
    assert not any(find["kind"] == "part" and find["title"] == "High ring" for find in answer["finds"])


@pytest.mark.parametrize(
    ("typed", "url"),
    [
        ("snap r", "rings/"),
        ("forw", "alder/#a"),
        ("clea", "alder/"),
        ("low-rev", "brake/#set"),
        ("circl", "rings/"),
        ("soaki", "plates/#soak"),
    ],
)
def test_a_half_typed_word_finds_already(index: Path, typed: str, url: str) -> None:
    """The list fills while a word is typed, also one of the shop's other words."""
    assert url in {find["url"] for find in ask(index, [typed])[0]["finds"][:3]}


def test_what_says_it_in_its_title_comes_first(index: Path) -> None:
    """A page of that name stands before one that only mentions it; the whole title before a part of it."""
    (answer,) = ask(index, ["snap rings"])
    assert [find["url"] for find in answer["finds"][:2]] == ["rings/", "rings/#fit"]


def test_all_words_are_wanted_first_and_some_serve_where_few_have_all(index: Path) -> None:
    """Finds with every word stand in front and are counted; the others come behind."""
    both, neither = ask(index, ["clearance forward", "clearance zebra"])
    assert (both["whole"], first(both)) == (1, "alder/")
    assert (neither["whole"], {find["url"] for find in neither["finds"]}) == (0, {"alder/", "brake/#set"})


def test_what_a_page_is_asked_for_by_leads_to_it(index: Path) -> None:
    """Before a section that has the words by chance; on the page itself, the section that has them goes first."""
    halfway, lunch = ask(index, ["stopped halfway", "lunch break"])
    assert first(halfway) in {"pausing/", "pausing/#over"}
    assert first(lunch) == "pausing/"


def test_a_single_word_leads_to_the_page_that_is_asked_for_by_it_alone(index: Path) -> None:
    """Before a page that has it in its text."""
    assert first(ask(index, ["belt"])[0]) == "pausing/"


def test_a_word_that_only_a_phrase_has_is_looked_for_as_others_are(index: Path) -> None:
    """What people say is none of the manual's words: those like it are found as well."""
    (answer,) = ask(index, ["magnetic stand"])
    assert first(answer) == "dial/"


def test_in_a_sentence_what_is_about_it_goes_before_what_has_more_of_its_words(index: Path) -> None:
    """Also where nothing has all of them."""
    (answer,) = ask(index, ["soak the friction plates in the fluid overnight"])
    assert (first(answer), answer["whole"]) == ("plates/", 0)


@pytest.mark.parametrize("typed", ["lock up", "lockup", "lock-up"])
def test_two_words_that_the_manual_writes_as_one(index: Path, typed: str) -> None:
    """People write both."""
    assert first(ask(index, [typed])[0]) == "dial/"


@pytest.mark.parametrize(
    ("typed", "url"), [("it broke", "pump/#back"), ("holding magnetically", "dial/"), ("soaked", "plates/#soak")]
)
def test_other_forms_of_a_word_are_the_word(index: Path, typed: str, url: str) -> None:
    """Also those that no rule makes."""
    assert first(ask(index, [typed])[0]) == url


def test_words_that_say_nothing_ask_for_nothing(index: Path) -> None:
    """A question is found by what it asks about."""
    plain, question = ask(index, ["groove wipe", "How do I wipe the groove of it?"])
    assert plain["finds"] == question["finds"]


@pytest.mark.parametrize("typed", ["", "   ", "?!", "zzzqqq", "😀", "-", "'"])
def test_what_is_nowhere_finds_nothing(index: Path, typed: str) -> None:
    """No query is an error."""
    assert ask(index, [typed]) == [{"whole": 0, "inOrder": True, "instead": [], "count": 0, "finds": []}]


@pytest.mark.parametrize("typed", ["שלום", "uber", "ÜBER", "<b>alles</b>"])
def test_any_script_and_markup_are_only_text(index: Path, typed: str) -> None:
    """Right-to-left letters, accents and angle brackets are found like anything else."""
    assert first(ask(index, [typed])[0]) == "odd/"


def test_very_long_input_is_answered(index: Path) -> None:
    """A page pasted into the box by mistake does no harm."""
    (answer,) = ask(index, ["ring " * 500 + "x" * 5000])
    assert answer["whole"] == 0
