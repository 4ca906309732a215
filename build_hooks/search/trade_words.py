"""The words of the trade that the search knows: the shop's own, and a list that comes with every manual."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from pydantic import Field

from build_hooks.model import Keys, Shop, read_model
from build_hooks.model.fields import Text
from build_hooks.reading.sources import read_mapping

__all__ = ["FOLDER", "WordGroup", "default_words", "words_of"]

FOLDER: Final = Path(__file__).parent.parent / "words"


@dataclass(frozen=True, slots=True)
class WordGroup:
    """A word with what else people call it.

    Attributes:
        word: as the manual writes it.
        also: other words for the same, in any language.
        misspelt: how it gets written.
    """

    word: str
    also: tuple[str, ...] = ()
    misspelt: tuple[str, ...] = ()


class _DefaultWord(Keys):
    """A word in the list that comes with every manual."""

    also: tuple[Text, ...] = Field(default=(), description="Other English words for the same.")
    spanish: tuple[Text, ...] = Field(default=(), description="Spanish words for the same.")
    misspelt: tuple[Text, ...] = Field(default=(), description="How it gets misspelt.")


class _WordFile(Keys):
    """A file of that list."""

    words: dict[Text, _DefaultWord] = Field(description="The words.")


def words_of(shop: Shop, defaults: Iterable[WordGroup] | None = None) -> tuple[WordGroup, ...]:
    """Every word that the search knows.

    What the shop says of a word rules: a phrase that it uses for one thing means nothing else in this manual, whatever
    the default list says.

    Args:
        shop: for its own words.
        defaults: the list that comes with every manual, if not that in the words folder.

    Returns:
        A group for each word, sorted by word.
    """
    own = [WordGroup(word.id, word.also, word.misspelt) for word in shop.words.values()]
    meant = {_plain(phrase): _plain(group.word) for group in own for phrase in _phrases(group)}
    groups = {_plain(group.word): group for group in own}
    for group in default_words() if defaults is None else defaults:
        kept = _without(group, meant)
        name = _plain(group.word)
        groups[name] = _joined(groups[name], kept) if name in groups else kept
    return tuple(group for _, group in sorted(groups.items()) if group.also or group.misspelt)


def default_words(folder: Path = FOLDER) -> tuple[WordGroup, ...]:
    """The list that comes with every manual.

    Args:
        folder: with its files.

    Returns:
        A group for each word; a word that stands in several files is one group.

    Raises:
        ValueError: a file of the list is not as it should be; it is ours, so no author can have spoilt it.
    """
    groups: dict[str, WordGroup] = {}
    for path in sorted(folder.glob("*.yml")):
        for name, word in _read(path).items():
            group = WordGroup(name, (*word.also, *word.spanish), word.misspelt)
            groups[_plain(name)] = _joined(groups[_plain(name)], group) if _plain(name) in groups else group
    return tuple(groups.values())


def _read(path: Path) -> Mapping[str, _DefaultWord]:
    root, problems = read_mapping(path)
    if root is None or problems:
        raise ValueError("\n".join(str(problem) for problem in problems))
    file, faults = read_model(_WordFile, root)
    if file is None:
        raise ValueError("\n".join(f"{path.name}:{fault.mark.line}: {fault.message}" for fault in faults))
    return file.words


def _plain(phrase: str) -> str:
    return " ".join(phrase.casefold().replace("-", " ").split())


def _phrases(group: WordGroup) -> Iterator[str]:
    yield group.word
    yield from group.also
    yield from group.misspelt


def _without(group: WordGroup, meant: Mapping[str, str]) -> WordGroup:
    """The group without phrases that mean another word in this shop."""
    name = _plain(group.word)

    def ours(phrases: Iterable[str]) -> tuple[str, ...]:
        return tuple(phrase for phrase in phrases if meant.get(_plain(phrase), name) == name)

    return WordGroup(group.word, ours(group.also), ours(group.misspelt))


def _joined(first: WordGroup, second: WordGroup) -> WordGroup:
    also = dict.fromkeys((*first.also, *second.also))
    misspelt = dict.fromkeys((*first.misspelt, *second.misspelt))
    return WordGroup(first.word, tuple(also), tuple(misspelt))
