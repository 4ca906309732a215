"""Files of the docs folder that are served as they are: none may run by itself when it is opened."""

from __future__ import annotations

from pathlib import Path
from typing import Final
from xml.parsers import expat

from build_hooks.markdown.page_html import is_outside, runs
from build_hooks.reading.problems import START, Fault, Mark, Problem, in_order, quoted

__all__ = ["asset_problems", "svg_faults"]

# Documents that a browser opens as pages; and other endings that the builder takes for Markdown, which nothing here reads.
_PAGES: Final = frozenset({".htm", ".html", ".mht", ".mhtml", ".shtml", ".xht", ".xhtml", ".xml", ".xsl", ".xslt"})
_MARKDOWN: Final = frozenset({".markdown", ".mdown", ".mkdn", ".mkd"})
# What runs, what loads a page into the picture, and what may change an address into one that runs.
_SVG_REFUSED: Final = frozenset(
    {"script", "handler", "listener", "foreignobject", "iframe", "embed", "object", "audio", "video", "animate", "set", "discard"}
    | {"animatecolor", "animatemotion", "animatetransform"}
)
_SVG_ADDRESSES: Final = frozenset({"href", "src", "from", "to", "values", "by", "base"})
_PAGE_ELEMENT: Final = "http://www.w3.org/1999/xhtml "
_PICTURES: Final = ("data:image/png", "data:image/jpeg", "data:image/gif", "data:image/webp")


def asset_problems(files: tuple[Path, ...]) -> tuple[Problem, ...]:
    """What may not lie in a docs folder.

    Args:
        files: every file of the folder.
    """
    found: list[Problem] = []
    for path in files:
        ending = path.suffix.casefold()
        if ending in _PAGES:
            found.append(
                _of_file(path, f"A file {ending} is a page that nothing checks.", "Write it as Markdown, or leave it out.")
            )
        elif ending in _MARKDOWN:
            found.append(_of_file(path, f"A page does not end in {ending}.", f"Rename it to {path.stem}.md."))
        elif ending == ".svg" and path.is_file():
            found.extend(Problem.of(path.as_posix(), fault) for fault in svg_faults(path.read_bytes()))
    return tuple(found)


def _of_file(path: Path, message: str, remedy: str) -> Problem:
    return Problem(path.as_posix(), 1, 1, "not-served", message, remedy)


def svg_faults(picture: bytes) -> tuple[Fault, ...]:
    """What a drawing may not hold: it can be opened as a page of its own.

    Args:
        picture: the file.

    Returns:
        A fault for each, at its place.
    """
    reader = _Drawing()
    try:
        reader.parser.Parse(picture, True)
    except (expat.ExpatError, ValueError, LookupError):
        return (Fault(START, "no-drawing", "This is no SVG that a browser can show.", "Save the drawing anew as a plain SVG."),)
    return in_order(reader.found)


class _Drawing:
    """Reads a drawing and notes what it may not hold."""

    def __init__(self) -> None:
        self.found: list[Fault] = []
        self._style: list[str] | None = None
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.StartElementHandler = self._begin
        self.parser.EndElementHandler = self._end
        self.parser.CharacterDataHandler = self._text
        self.parser.ProcessingInstructionHandler = self._instruction
        self.parser.EntityDeclHandler = self._entity

    def _refuse(self, message: str) -> None:
        mark = Mark(self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber + 1)
        remedy = "Save the drawing as a plain SVG, without scripts and links."
        self.found.append(Fault(mark, "drawing-not-allowed", message, remedy))

    def _begin(self, name: str, attributes: dict[str, str]) -> None:
        tag = _local(name)
        if tag in _SVG_REFUSED or name.startswith(_PAGE_ELEMENT):
            self._refuse(f"{quoted(f'<{tag}>')} is not allowed in a drawing.")
        if tag == "style":
            self._style = []
        for key, value in attributes.items():
            self._attribute(_local(key), value)

    def _attribute(self, name: str, value: str) -> None:
        if name.startswith("on"):
            self._refuse(f"{quoted(name)} is not allowed in a drawing.")
        elif (name in _SVG_ADDRESSES and _leads_out(value)) or _fetches(value):
            self._refuse(f"{quoted(value)} may not be loaded by a drawing.")

    def _end(self, name: str) -> None:
        if _local(name) == "style" and self._style is not None:
            if _fetches("".join(self._style)):
                self._refuse("The style of this drawing loads something.")
            self._style = None

    def _text(self, data: str) -> None:
        if self._style is not None:
            self._style.append(data)

    def _instruction(self, target: str, _data: str) -> None:
        self._refuse(f"{quoted(f'<?{target}')} is not allowed in a drawing.")

    def _entity(self, *_declared: object) -> None:
        self._refuse("A drawing may not declare entities.")


def _local(name: str) -> str:
    return name.rpartition(" ")[2].casefold()


def _leads_out(value: str) -> bool:
    return (runs(value) or is_outside(value)) and not value.strip().casefold().startswith(_PICTURES)


def _fetches(value: str) -> bool:
    """Whether a style or a presentation attribute loads something that is not in the drawing itself."""
    plain = "".join(value.split()).casefold().replace("'", "").replace('"', "")
    return "@import" in plain or "\\" in plain or "url(" in plain.replace("url(#", "")
