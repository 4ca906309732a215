"""What of the build is fuzzed: each target has its seeds, its way of spoiling them, and a run that holds the outcome to its promises."""

from __future__ import annotations

import random
import re
import shutil
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any, Final

import yaml
from markdown import Markdown
from PIL import Image

from build_hooks.blocks import BLOCKS
from build_hooks.edition import Edition, prepare
from build_hooks.learning.paths import read_paths
from build_hooks.library import Library, ShopRead, load, shop_from, unit_from, warnings_of_shop
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.markdown.links import link_faults
from build_hooks.markdown.page_html import html_faults
from build_hooks.markdown.tangles import tangles
from build_hooks.model import Unit
from build_hooks.page.bench_pages import bench_pages
from build_hooks.page.glossary import glossary_page, word_forms
from build_hooks.page.learning import Learning
from build_hooks.page.pages import MadePage, Pages, made_pages
from build_hooks.page.rendering import RenderedPage, render_page
from build_hooks.page.source import OPEN_BLOCK, read_page, unit_of
from build_hooks.plain_writing import writing_warnings
from build_hooks.plain_writing.undefined_words import known_words
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.memory import Memory
from build_hooks.reading.problems import Fault, Problem
from build_hooks.scaffold import new_manual, new_pack, new_path, new_procedure, new_unit
from build_hooks.standards import load_standards
from build_hooks.trade import trade_warnings, without_accepted
from build_hooks.trade.counts import count_warnings
from build_hooks.trade.figures import figure_warnings
from build_hooks.trade.hazards import hazard_warnings
from build_hooks.trade.sides import side_warnings
from build_hooks.trade.trade_page import TradePage, trade_page
from build_hooks.wall import Place, drawer, wall_pages
from calc_engine.practice import KINDS
from tests.fuzz.judge import Finding, Guard, judge_html, judge_problems
from tests.fuzz.mutate import CLIMBING, PAYLOADS, spoilt_bytes, spoilt_page, spoilt_yaml, tree_or_none, words_of

__all__ = ["Given", "Target", "all_targets"]

ROOT: Final = Path(__file__).parents[2]
DOCS: Final = ROOT / "docs"
TODAY: Final = date(2026, 11, 29)
_LARGEST_SEED: Final = 12_000
BESIDE: Final = "BESIDE-THE-MANUAL"
_FENCE: Final = re.compile(r"^(?P<indent> *)```(?P<name>[a-z-]+)\n(?P<body>.*?)^ *```$", re.DOTALL | re.MULTILINE)
_OF_PAGES: Final[tuple[Callable[[TradePage], Iterator[Fault]], ...]] = (
    hazard_warnings,
    count_warnings,
    figure_warnings,
    side_warnings,
)


@dataclass(slots=True)
class Given:
    """An input: a text, or the files of a manual that differ from its sound state."""

    text: str
    files: Mapping[str, str | bytes | Path] = field(default_factory=dict)
    tree: Any = None
    parsed: bool = False

    def read(self) -> Any:
        """What the text says, read once."""
        if not self.parsed:
            self.tree, self.parsed = tree_or_none(self.text), True
        return self.tree


class Target(ABC):
    """One part of the build.

    Attributes:
        name: what it is called.
        about: what is tried, for the table.
        weight: how often it has its turn.
        corpus: inputs that reached something new, the seeds first.
        sound: how many inputs had no problem.
    """

    name: str
    about: str
    weight: float

    def __init__(self, work: Path, guard: Guard, words: Sequence[str]) -> None:
        """Makes the seeds.

        Args:
            work: a folder in memory, of this target alone.
            guard: sees what files are opened.
            words: what may stand in data.
        """
        self.work, self.guard, self.words = work, guard, words
        self.sound = 0
        self.corpus = [Given(text) for text in self.seeds()]

    @abstractmethod
    def seeds(self) -> list[str]:
        """What it begins with."""

    def spoil(self, parent: Given, other: Given, chance: random.Random) -> Given:
        """A new input from one of the corpus and parts of another."""
        return Given(spoilt_yaml(parent.text, parent.read(), chance, self.words, other.read()))

    @abstractmethod
    def run(self, given: Given) -> Iterable[str]:
        """Tries it.

        Returns:
            The codes of what was found wrong, for the corpus.

        Raises:
            Finding: a promise was not kept; any other exception is a finding too.
        """


def _codes(problems: Iterable[Problem]) -> list[str]:
    return sorted({problem.code for problem in problems})


def _texts(*patterns: str) -> list[str]:
    return [path.read_text(encoding="utf-8") for pattern in patterns for path in sorted(DOCS.glob(pattern))]


def _sound_unit() -> str:
    text = (ROOT / "tests/build_hooks/messages/sense.yml").read_text(encoding="utf-8")
    return str(yaml.safe_load(text)["sound"]).replace("bench-dial", "dial-indicator")


def _cut(unit: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Small units out of a large one: each pack with what it mentions, the shafts, the gear set, and what is left."""
    head = {key: value for key, value in unit.items() if not isinstance(value, dict)}
    named = {section: value for section, value in unit.items() if isinstance(value, dict)}
    for section, things in named.items():
        for key, thing in things.items():
            said = set(re.findall(r"[\w-]+", str(thing)))
            needed = {
                other: {name: each for name, each in them.items() if name in said}
                for other, them in named.items()
                if other != section
            }
            yield {**head, **{name: them for name, them in needed.items() if them}, section: {key: thing}}


_units_cut: list[str] = []


def _unit_seeds() -> list[str]:
    if not _units_cut:
        whole = _texts("units/hazel-2/unit.yml")
        _units_cut.extend([_sound_unit(), _starter_unit(), *whole])
        for text in _texts("units/*/unit.yml"):
            for small in _cut(yaml.safe_load(text)):
                made = yaml.safe_dump(small, sort_keys=False, allow_unicode=True, default_flow_style=None, width=200)
                if len(made) < 4000:
                    _units_cut.append(made)
    return _units_cut


def _starter_unit() -> str:
    return (_starter() / "docs/units/oak-2/unit.yml").read_text(encoding="utf-8")


_STARTER: Final[list[Path]] = []


def _starter() -> Path:
    """A manual as the scaffold begins it, in memory."""
    return _STARTER[0]


def _begin(folder: Path) -> None:
    new_manual(folder, "Quay Lane", "metric", {})
    for make in (
        lambda library: new_unit(library, "Oak 2"),
        lambda library: new_pack(library, "oak-2", "Low pack", "front-drum"),
        lambda library: new_procedure(library, "oak-2", "Set it", "forward"),
        lambda library: new_path(library, "First week"),
    ):
        library, problems = load(folder / "docs")
        assert library is not None, problems
        make(library)
    _STARTER[:] = [folder]


def _demo_shop() -> ShopRead:
    read, problems = shop_from((DOCS / "shop.yml").read_text(encoding="utf-8"), "shop.yml")
    assert not problems
    return read


class Units(Target):
    """A unit.yml; where it is sound, also what the trade says of it, its blocks, its pages of readings and its wall view."""

    name = "unit"
    about = "unit.yml: read, modelled, checked; sound ones warned of, and made into blocks, bench pages and wall views"
    weight = 30

    def seeds(self) -> list[str]:
        """The starter, the sound unit of the tests, and pieces of the demo's."""
        self._shop = _demo_shop()
        self._path = self.work / "units/oak-2/unit.yml"
        self._path.parent.mkdir(parents=True)
        assert self._shop.sound is not None
        self._place = Place("29 Nov", drawer(self._shop.sound.screens.values()), lambda _: None)
        return _unit_seeds()

    def run(self, given: Given) -> Iterable[str]:
        """Reads it; what is sound goes through all that is made of it."""
        path = self._path.as_posix()
        text = _as_read(given.text)
        unit, problems = unit_from(text, self._path, self._shop)
        judge_problems(problems, {path: text})
        if (unit is None) is not bool(problems):
            raise Finding("a unit with problems, or none without")
        if unit is None:
            return _codes(problems)
        self.sound += 1
        self._path.write_text(text, encoding="utf-8", newline="")
        return self._made_of(unit, text)

    def _made_of(self, unit: Unit, text: str) -> list[str]:
        assert self._shop.sound is not None
        # Without a shop.yml on the disk: that of the demo would be read each time.
        library = Library(self.work, self._shop.sound, {unit.id: unit})
        warnings = trade_warnings(library, [], TODAY)
        left = without_accepted(warnings, [self._path])
        judge_problems((*warnings, *left), {self._path.as_posix(): text})
        page = "".join(f"```{name}\n{body}```\n\n" for name, body in _blocks_of(unit))
        source, problems = read_page(page, "units/oak-2/a.md")
        rendered, found = render_page(source, "units/oak-2/a.md", library)
        judge_problems((*problems, *found), {"units/oak-2/a.md": page}, "page")
        for html in rendered.blocks:
            judge_html(html)
        made, found = made_pages(bench_pages(library, Pages({})), library)
        judge_problems(found, {self._path.as_posix(): text})
        for each in made.values():
            for html in each.blocks:
                judge_html(html)
        if self.sound % 3 == 0:
            # Nothing else takes so long.
            for html in wall_pages(library, self._place).values():
                judge_html(html, whole=True)
        return [*_codes(left), *_codes(problems), *_codes(found), "sound"]


def _blocks_of(unit: Unit) -> Iterator[tuple[str, str]]:
    """A block of each kind for what a unit has."""
    for pack in list(unit.packs)[:3]:
        yield "stack", f"pack: {_key(pack)}\n"
        yield "spec", f"pack: {_key(pack)}\n"
        yield "calc", f"calculation: pack-clearance\npack: {_key(pack)}\n"
        yield "kit", f"packs: [{_key(pack)}]\n"
    for shaft in list(unit.shafts)[:2]:
        yield "spec", f"shaft: {_key(shaft)}\n"
        yield "calc", f"calculation: end-play\nshaft: {_key(shaft)}\n"
    if unit.gear_set is not None:
        yield "applied", "unit: oak-2\n"


def _key(name: str) -> str:
    return f'"{name}"'


class Shops(Target):
    """A shop.yml; where it is sound, also its warnings, its page of words and what names it."""

    name = "shop"
    about = (
        "shop.yml: read, modelled, checked; sound ones warned of, and made into the page of words and a page with marked words"
    )
    weight = 8

    def seeds(self) -> list[str]:
        """The starter and pieces of the demo's."""
        whole = yaml.safe_load((DOCS / "shop.yml").read_text(encoding="utf-8"))
        head = {key: value for key, value in whole.items() if not isinstance(value, (dict, list))}
        made = [(_starter() / "docs/shop.yml").read_text(encoding="utf-8")]
        for section, things in whole.items():
            if isinstance(things, dict):
                names = list(things)
                for at in range(0, len(names), 6):
                    piece = {**head, section: {name: things[name] for name in names[at : at + 6]}}
                    made.append(yaml.safe_dump(piece, sort_keys=False, allow_unicode=True, width=200))
        return made

    def run(self, given: Given) -> Iterable[str]:
        """Reads it; what is sound is put into pages."""
        path = (self.work / "shop.yml").as_posix()
        text = _as_read(given.text)
        read, problems = shop_from(text, path)
        judge_problems(problems, {path: text})
        if (read.sound is None) is not bool(problems):
            raise Finding("a shop with problems, or none without")
        if read.sound is None:
            return _codes(problems)
        self.sound += 1
        Path(path).write_text(text, encoding="utf-8", newline="")
        library = Library(self.work, read.sound, {})
        found = (*warnings_of_shop(library), *trade_warnings(library, [], TODAY))
        judge_problems((*found, *without_accepted(found, [Path(path)])), {path: text})
        made, problems = made_pages({"words/index.md": MadePage(glossary_page(library))}, library)
        judge_problems(problems, {path: text})
        words = word_forms(read.sound.words.values())
        edition = Edition(library, Pages(made), {"words/index.md": ""}, TODAY, Learning((), {}), words)
        judge_html(edition.content("words/index.md", _html(made["words/index.md"].source.text), "http://a/b/", read.sound.name))
        said = "<p>" + " ".join(name.replace("&", "").replace("<", "") for name in read.sound.words) + "</p>"
        plain = RenderedPage(read_page("# a\n", "a.md")[0], None, ())
        judge_html(replace(edition, pages=Pages({"a.md": plain})).content("a.md", f"<h1>a</h1>{said}"))
        return [*_codes(found), "sound"]


def _as_read(text: str) -> str:
    """A text as it comes from its file: without byte order mark, with one kind of line end."""
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")


def _html(text: str) -> str:
    """What the Markdown of the builder makes of a page: its own extensions come before ours."""
    _MARKDOWN.reset()
    return str(_MARKDOWN.convert(text))


_MARKDOWN: Final = Markdown(
    extensions=["toc", "tables", "fenced_code", *EXTENSIONS], extension_configs={"toc": {"permalink": True}}
)


class StandardsData(Target):
    """A set of findings or a decision tree."""

    name = "findings and trees"
    about = "findings/*.yml and trees/*.yml: read, modelled, checked against the page they name; sound ones made into their block"
    weight = 12

    def seeds(self) -> list[str]:
        """The demo's, each in small pieces."""
        self._shop = _demo_shop()
        for folder in ("findings", "trees", "standards"):
            (self.work / folder).mkdir()
        self._page = self.work / "standards/a.md"
        assert self._shop.sound is not None
        self._gauges = self._shop.sound.gauges
        made = []
        for text in _texts("findings/*.yml"):
            whole = yaml.safe_load(text)
            names = list(whole["findings"])
            made += [
                {**whole, "findings": {name: whole["findings"][name] for name in names[at : at + 2]}}
                for at in range(0, len(names), 2)
            ]
        made += [yaml.safe_load(text) for text in _texts("trees/*.yml")]
        made.append({
            "name": "T", "page": "standards/a.md", "start": "a",
            "questions": {"a": {"check": "Look", "asks": "Wet?", "answers": [{"answer": "yes", "leads_to": "b"}, {"answer": "no", "leads_to": "c"}]}},
            "ends": {"b": {"end": "Wet", "page": "standards/a.md", "says": "It is wet"},
                     "c": {"end": "Dry", "page": "standards/a.md", "says": "It is dry"}},
        })  # fmt: skip
        said = re.findall(r"says: (.*)", "\n".join(map(str, (yaml.safe_dump(one, width=9999) for one in made))))
        lines = "\n\n".join(f"{line.strip(chr(39))}." for line in said)
        self._page.write_text(f"# A\n\n## B\n\n{lines}\n\nIt is wet. It is dry.\n\n```tree\ntree: a\n```\n", encoding="utf-8")
        # All name the one page that is there.
        return [
            re.sub(r"standards/[\w-]+\.md", "standards/a.md", yaml.safe_dump(one, sort_keys=False, width=200)) for one in made
        ]

    def run(self, given: Given) -> Iterable[str]:
        """Reads it as the one or the other."""
        folder = "trees" if "questions" in given.text else "findings"
        path = self.work / folder / "a.yml"
        path.write_text(given.text, encoding="utf-8", newline="")
        standards, problems = load_standards(self.work, (path, self._page), self._gauges, "metric", Memory())
        path.unlink()
        judge_problems(problems, {path.as_posix(): _as_read(given.text)})
        if problems:
            return _codes(problems)
        self.sound += 1
        assert self._shop.sound is not None
        library = Library(self.work, self._shop.sound, {}, standards=standards)
        block = "```tree\ntree: a\n```\n" if folder == "trees" else "```exercise\nkind: finding\nunit: standards\npack: a\n```\n"
        found: tuple[Problem, ...] = ()
        source, _ = read_page(f"# A\n\n{block}\n", "standards/a.md")
        page, found = render_page(source, "standards/a.md", library)
        judge_problems(found, {"standards/a.md": source.text}, "page")
        for html in page.blocks:
            judge_html(html)
        return [*_codes(found), "sound"]


_PATH: Final = "name: First week\nabout: For those who begin.\nedition: A\nsteps:\n  - {id: a, page: index.md}\n"


class LearningPaths(Target):
    """A learning path."""

    name = "path"
    about = "learning/*.yml: read, modelled, checked against pages, kinds and units"
    weight = 5

    def seeds(self) -> list[str]:
        """The starter and the demo's."""
        library, problems = load(DOCS)
        assert library is not None, problems
        (self.work / "learning").mkdir()
        (self.work / "learning/first-week.yml").write_text(_PATH, encoding="utf-8")
        self._library = replace(library, docs=self.work)
        self._pages = frozenset(path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*.md"))
        return [
            *_texts("learning/*.yml"),
            *(path.read_text(encoding="utf-8") for path in (_starter() / "docs/learning").glob("*.yml")),
        ]

    def run(self, given: Given) -> Iterable[str]:
        """Reads it."""
        path = self.work / "learning/a.yml"
        path.write_text(given.text, encoding="utf-8", newline="")
        paths, problems = read_paths(self._library, self._pages, tuple(KINDS), lambda *_: None)
        judge_problems(
            problems, {path.as_posix(): _as_read(given.text), (self.work / "learning/first-week.yml").as_posix(): _PATH}
        )
        self.sound += len(paths) == 2
        return _codes(problems)


class _OnDemo(Target):
    """Pages beside the demo's data."""

    def _load(self) -> Library:
        library, problems = load(DOCS)
        assert library is not None, problems
        return library


class Blocks(_OnDemo):
    """A page with one block."""

    name = "block"
    about = "each kind of block with spoilt data, on a page of the demo: read, modelled, rendered to HTML"
    weight = 30

    def seeds(self) -> list[str]:
        """Every different block of the demo's pages and its guide."""
        self._library = self._load()
        found: dict[str, None] = {}
        for path in sorted(DOCS.rglob("*.md")):
            for fence in _FENCE.finditer(path.read_text(encoding="utf-8")):
                if fence["name"] in BLOCKS and len(fence["body"]) < 1500:
                    indent = fence["indent"]
                    body = "".join(line.removeprefix(indent) for line in fence["body"].splitlines(keepends=True))
                    unit = path.parent.name if path.parent.parent.name == "units" and "unit:" not in body else ""
                    found[
                        f"{fence['name']}\n{body}"
                        + (f"unit: {unit}\n" if unit and fence["name"] not in {"tools", "timer"} else "")
                    ] = None
        assert {text.partition("\n")[0] for text in found} == set(BLOCKS), "a block without a seed"
        return list(found)

    def spoil(self, parent: Given, other: Given, chance: random.Random) -> Given:
        """Spoils the data below the name of the block."""
        name, _, body = parent.text.partition("\n")
        if not parent.parsed:
            parent.tree, parent.parsed = tree_or_none(body), True
        if not other.parsed:
            other.tree, other.parsed = tree_or_none(other.text.partition("\n")[2]), True
        if chance.random() < 0.02:
            name = chance.choice(list(BLOCKS))
        return Given(f"{name}\n{spoilt_yaml(body, parent.tree, chance, self.words, other.tree)}")

    def run(self, given: Given) -> Iterable[str]:
        """Renders it."""
        name, _, body = given.text.partition("\n")
        body = body.replace("```", "")
        page = _as_read(f"# A\n\n```{name}\n{body}\n```\n")
        source, problems = read_page(page, "units/alder-4/a.md")
        made, found = render_page(source, "units/alder-4/a.md", self._library)
        both = (*problems, *found)
        judge_problems(both, {"units/alder-4/a.md": page}, "page")
        for html in made.blocks:
            judge_html(html)
        if not both:
            self.sound += 1
        return (f"{name} {code}" for code in _codes(both) or ["sound"])


class WholePages(_OnDemo):
    """A page with blocks, text and HTML of its own."""

    name = "page"
    about = "pages with spoilt Markdown, HTML, front matter and blocks: read, judged, sound ones made into HTML as the build does"
    weight = 5

    def seeds(self) -> list[str]:
        """The sections of the demo's pages and of its guide, and of the starter's."""
        self._library = self._load()
        self._files = frozenset(path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*") if path.is_file())
        self._known = known_words(self._library)
        self._words = word_forms(self._library.shop.words.values())
        made = []
        for path in (*sorted(DOCS.rglob("*.md")), *sorted((_starter() / "docs").rglob("*.md"))):
            pieces = re.split(r"^(?=## )", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
            made += [piece if at == 0 else f"# A\n\n{piece}" for at, piece in enumerate(pieces) if len(piece) < 2500]
        return made

    def spoil(self, parent: Given, other: Given, chance: random.Random) -> Given:
        """Spoils Markdown."""
        return Given(spoilt_page(parent.text, chance, self.words, other.text))

    def run(self, given: Given) -> Iterable[str]:
        """Reads, judges, and renders it."""
        name = "units/alder-4/a.md"
        text = _as_read(given.text)
        source, problems = read_page(text, name)
        page, found = render_page(source, name, self._library)
        files = {name: text}
        faults: tuple[Fault, ...] = (*tangles(source.text), *link_faults(source.text, name, self._files | {name}))
        if not any(problem.code == OPEN_BLOCK for problem in problems):
            faults = (*faults, *html_faults(source.text, len(source.fences)))
        both = (*problems, *found, *(Problem.of(name, fault) for fault in faults))
        judge_problems(both, files, "page")
        if both:
            return _codes(both)
        self.sound += 1
        read = trade_page(source, unit_of(source.facts, name), self._library)
        warnings = [
            *writing_warnings(source.text, name, self._known, [fence.name for fence in source.fences]),
            *(Problem.of(name, fault) for check in _OF_PAGES for fault in check(read)),
        ]
        judge_problems(warnings, files, "page")
        edition = Edition(self._library, Pages({name: page}), {}, TODAY, Learning((), {}), self._words)
        html = _html(source.text)
        if refused := edition.refused(name, html):
            raise Finding(f"refused only when it is built: {refused[0]}")
        judge_html(edition.content(name, html, "http://a/b/", source.facts.title or "a"))
        return [*_codes(warnings), "sound"]


_SVG: Final = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><title>a</title><path d="M0 0h9" style="fill:red"/><a href="#b"/></svg>\n'
_EVERYTHING: Final = """\
---
title: Everything
status: {state: draft}
---
# Everything

See [the start](index.md), ![a drawing](photos/a.svg) and ![a picture](photos/a.png).

```photo
file: photos/a.png
shows: A drum.
callouts:
  - {at: [40, 25], text: The gap}
unit: oak-2
pack: forward
part: forward-backing
```

```tools
gauges: [bench-dial]
```

```stack
unit: oak-2
pack: forward
```
"""


class Manuals(Target):
    """A whole small manual on a disk in memory, with every file that it opens looked at."""

    name = "manual"
    about = (
        "a whole manual with bytes spoilt, links and paths that climb, odd names: prepared and made; nothing outside is opened"
    )
    weight = 0.1

    def seeds(self) -> list[str]:
        """The scaffold's, with a picture, a drawing, and what must not be read beside it."""
        self._docs, self._site, self._memory = self.work / "m/docs", self.work / "site", Memory()
        shutil.copytree(_starter(), self.work / "m")
        for name in ("secret.txt", "secret.md"):
            (self.work / "m" / name).write_text(BESIDE, encoding="utf-8")
        Image.new("RGB", (40, 30), "red").save(self.work / "m/secret.png")
        (self._docs / "photos").mkdir()
        shutil.copy(self.work / "m/secret.png", self._docs / "photos/a.png")
        (self._docs / "photos/a.svg").write_text(_SVG, encoding="utf-8")
        (self._docs / "everything.md").write_text(_EVERYTHING, encoding="utf-8")
        self._before = {path.relative_to(self._docs).as_posix(): path.read_bytes() for path in files_of(self._docs)[0]}
        edition, problems = prepare(self._docs, TODAY, self._memory)
        assert edition is not None, [str(problem) for problem in problems]
        return list(self._before)

    def spoil(self, parent: Given, other: Given, chance: random.Random) -> Given:
        """One or two files changed, linked, or put in."""
        return Given("", dict(self._change(chance) for _ in range(chance.choice((1, 1, 1, 2)))))

    def _change(self, chance: random.Random) -> tuple[str, str | bytes | Path]:
        name = chance.choice(list(self._before))
        before = self._before[name]
        kind = chance.random()
        if kind < 0.2:
            return name, spoilt_bytes(before, chance)
        if kind < 0.4:
            return self._climbing(chance)
        if kind < 0.6:
            place = chance.choice(
                (
                    name,
                    "photos/out.png",
                    "out.md",
                    "out",
                    "units/oak-3",
                    "units/oak-3/unit.yml",
                    "learning/a.yml",
                    "findings/a.yml",
                    "shop.yml",
                    "photos",
                )
            )
            aims = (
                "../secret.md",
                "../secret.png",
                "../../secret.png",
                "/etc/passwd",
                "/etc",
                "..",
                ".",
                "index.md",
                "out.md",
                "../m/docs",
                "/proc/self",
                "/dev/zero",
                "nowhere",
            )
            return place, Path(chance.choice(aims))
        if kind < 0.7:
            names = (
                "a\u202eb.md",
                "con.md",
                "a b.md",
                "..md",
                "x" * 200 + ".md",
                "a.html",
                "a.svg",
                "a.MD",
                "README.md",
                "wall/index.md",
                "a.yaml",
                "units/oak-4/unit.yaml",
                "-.md",
                "a\nb.md",
                "a.PNG",
            )
            return chance.choice(names), chance.choice(
                (f"# {chance.choice(PAYLOADS)}\n", _SVG.replace("M0 0h9", chance.choice(PAYLOADS)), before)
            )
        if name.endswith(".yml"):
            text = before.decode()
            return name, spoilt_yaml(text, tree_or_none(text), chance, self.words, None)
        if name.endswith(".md"):
            return name, spoilt_page(before.decode(), chance, self.words, _EVERYTHING)
        return name, spoilt_bytes(before, chance)

    def _climbing(self, chance: random.Random) -> tuple[str, str]:
        """A reference that leads out of the folder, in a place that names a file."""
        aim = chance.choice(CLIMBING)
        text = _EVERYTHING
        written = aim.replace("\\", "\\\\").replace("\x00", "\\0")
        text = chance.choice((
            text.replace("file: photos/a.png", f'file: "{written}"'), text.replace("](photos/a.png)", f"]({aim})"),
            text.replace("](index.md)", f"]({aim})"),
            text.replace("pack: forward\n```\n", f'pack: "{written}"\n```\n'), text.replace("unit: oak-2", f'unit: "{written}"'),
            f"{text}\n<img src='{aim}'>\n", f"{text}\n[a]: {aim}\n", f'{text}\n--8<-- "{aim}"\n', f"{text}\n{{% include '{aim}' %}}\n",
        ))  # fmt: skip
        return "everything.md", text

    def run(self, given: Given) -> Iterable[str]:
        """Prepares it, makes all of it where it is sound, and puts it back as it was."""
        try:
            for name, content in given.files.items():
                self._put(name, content)
            with self.guard.armed([self._docs], [self._site]):
                return self._tried()
        finally:
            self._put_back(given.files)

    def _put(self, name: str, content: str | bytes | Path) -> None:
        path = self._docs / name
        if path.is_symlink() or path.is_file():
            path.unlink()
        elif path.is_dir():
            shutil.rmtree(path)
        if path.parent.is_symlink():
            return
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(content, Path):
            path.symlink_to(content)
        else:
            path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))

    def _put_back(self, names: Iterable[str]) -> None:
        # Links go first: nothing is to be written through one.
        for name in sorted(names, key=len):
            path = self._docs / name
            if path.is_symlink() or path.is_file():
                path.unlink()
        for name in names:
            for folder in list((self._docs / name).parents)[:-1]:
                known = folder.is_relative_to(self._docs) and folder != self._docs
                if known and folder.is_dir() and not any((self._docs / each).is_relative_to(folder) for each in self._before):
                    shutil.rmtree(folder)
        for known, content in self._before.items():
            place = self._docs / known
            if not place.is_file():
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(content)

    def _tried(self) -> list[str]:
        edition, problems = prepare(self._docs, TODAY, self._memory)
        found = list(problems)
        below = self._docs.as_posix()
        files = {
            problem.path: _decoded(problem.path)
            for problem in found
            if problem.path.startswith(below) and not problem.path.endswith(".md")
        }
        pages = {
            problem.path: _decoded(problem.path)
            for problem in found
            if problem.path.startswith(below) and problem.path.endswith(".md")
        }
        judge_problems([problem for problem in found if problem.path not in pages], files)
        judge_problems([problem for problem in found if problem.path in pages], pages, "page")
        if edition is None:
            if not found:
                raise Finding("no edition, and nothing is wrong")
            return _codes(found)
        self.sound += 1
        warnings = edition.warnings()
        for path, page in edition.pages.by_path.items():
            if path.startswith("calculations/"):
                # Made of the engine's catalogue, and of nothing that was spoilt.
                continue
            html = edition.content(path, _html(page.source.text), "http://a/b/", page.source.facts.title or "a")
            judge_html(html)
            if BESIDE in html:
                raise Finding(f"{path} shows what lies beside the manual")
        place = Place("29 Nov", drawer(edition.library.shop.screens.values()), lambda _: None, photos=edition.step_photos())
        for html in wall_pages(edition.library, place).values():
            judge_html(html, whole=True)
        self._site.mkdir(exist_ok=True)
        edition.write_pictures(self._site)
        shutil.rmtree(self._site)
        return [*_codes(warnings), "sound"]


def _decoded(name: str) -> str | None:
    path = Path(name)
    if path.is_symlink() or path.parent.is_symlink():
        return None
    try:
        return (
            path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
            if path.is_file() and path.stat().st_size < 1_000_000
            else None
        )
    except (OSError, ValueError):
        return None


def all_targets(work: Path, names: Iterable[str] = ()) -> list[Target]:
    """The targets, with their seeds.

    Args:
        work: a folder in memory.
        names: which; by default all.
    """
    guard = Guard()
    _begin(work / "starter")
    kinds = (Units, Shops, StandardsData, LearningPaths, Blocks, WholePages, Manuals)
    wanted = set(names)
    words = words_of([*_unit_seeds(), *_texts("shop.yml", "findings/*.yml", "trees/*.yml", "learning/*.yml")])
    made = []
    for kind in kinds:
        if not wanted or kind.name in wanted:
            folder = work / kind.name.replace(" ", "-")
            folder.mkdir()
            made.append(kind(folder, guard, words))
    return made
