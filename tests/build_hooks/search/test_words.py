"""The words that the search knows: the shop's rule over the list that comes with every manual."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.model import Shop
from build_hooks.search import WordGroup, default_words, words_of


def shop(words: dict[str, dict[str, object]]) -> Shop:
    """A shop with words."""
    return Shop.model_validate({"name": "Test shop", "words": {name: {"meaning": "x", **more} for name, more in words.items()}})


def test_the_shops_words_are_joined_to_the_default_list() -> None:
    """A word that both have is one group, the shop's names first."""
    defaults = [WordGroup("snap ring", ("circlip", "lock ring"), ("snap rign",)), WordGroup("soak", ("dip",))]
    found = words_of(shop({"Snap ring": {"also": ["clip", "circlip"], "misspelt": ["snapring"]}}), defaults)
    assert found == (
        WordGroup("Snap ring", ("clip", "circlip", "lock ring"), ("snapring", "snap rign")),
        WordGroup("soak", ("dip",)),
    )


def test_a_phrase_means_what_the_shop_says() -> None:
    """What the shop uses for one thing is taken from every other word of the default list, however it is written there."""
    defaults = [WordGroup("friction plate", ("Clutch-Disc", "fibre"), ("clutch disk",))]
    found = words_of(shop({"steel plate": {"also": ["clutch disc"], "misspelt": ["clutch disk"]}}), defaults)
    assert found == (
        WordGroup("friction plate", ("fibre",)),
        WordGroup("steel plate", ("clutch disc",), ("clutch disk",)),
    )


def test_a_word_of_the_shop_is_never_another_name_for_something_else() -> None:
    """The shop's own word stands for itself, even where the default list has it as another name."""
    assert words_of(shop({"shim": {}}), [WordGroup("spacer", ("shim", "packer"))]) == (WordGroup("spacer", ("packer",)),)


def test_a_word_with_no_other_name_is_left_out() -> None:
    """It says nothing that typing the word does not."""
    assert words_of(shop({"land": {}}), []) == ()


def test_the_default_list_is_sound() -> None:
    """It is read without a fault, has English and Spanish, and no phrase is listed twice in one group."""
    groups = {group.word: group for group in default_words()}
    assert {"circlip", "retaining ring", "anillo de retención"} <= set(groups["snap ring"].also)
    assert {"fibre", "disco de pasta"} <= set(groups["friction plate"].also)
    for group in groups.values():
        names = [group.word, *group.also, *group.misspelt]
        assert len(set(names)) == len(names), group


def test_no_misspelling_of_the_default_list_is_a_word_of_it() -> None:
    """A misspelling leads to one word, never away from a word that is spelt right."""
    right = {name.casefold() for group in default_words() for name in (group.word, *group.also)}
    wrong = [name for group in default_words() for name in group.misspelt]
    assert [name for name in wrong if name.casefold() in right] == []


def test_words_of_several_files_are_one_group(tmp_path: Path) -> None:
    """English and Spanish stand in files of their own."""
    (tmp_path / "a.yml").write_text("words:\n  drum: {also: [basket], misspelt: [drumm]}\n", encoding="utf-8")
    (tmp_path / "b.yml").write_text("words:\n  drum: {spanish: [tambor]}\n", encoding="utf-8")
    assert default_words(tmp_path) == (WordGroup("drum", ("basket", "tambor"), ("drumm",)),)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("words:\n  drum: {alos: [basket]}\n", "words.yml:2: Unknown key “alos”."),
        ("words: [", "words.yml:1:9: A bracket or a brace above is not closed. Close it."),
    ],
)
def test_a_spoilt_list_stops_the_build(tmp_path: Path, text: str, message: str) -> None:
    """The list is ours: it is mended, not worked round."""
    (tmp_path / "words.yml").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"words\.yml") as raised:
        default_words(tmp_path)
    assert str(raised.value).removeprefix(f"{tmp_path.as_posix()}/") == message
