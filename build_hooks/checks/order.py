"""Can a whole drum go together in the order that its data gives: is every part in it once, none above what goes in later?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from build_hooks.checks.packs import Place, is_measure, places_of
from build_hooks.checks.values import UnitData, unknown
from build_hooks.model import PLATES
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted

__all__ = ["order_faults"]

_SHARED: Final = frozenset({"backing", "reaction", "pressure"})
# What cannot go in once a pack above has begun. Seals are fitted to their piston on the bench.
_BODY: Final = PLATES | {"piston", "snap-ring", "shim", "return-spring", "retainer"}
# What a hub of a lower pack cannot pass.
_IN_THE_WAY_OF_HUBS: Final = frozenset({"hub", "piston"})


@dataclass(frozen=True, slots=True)
class _Piece:
    """A piece of a pack, as it is written in an order.

    Attributes:
        node: the item of the order.
        pack_id: the pack.
        pack: its data.
        start: the first of its places that goes in.
        end: the first one behind that does not.
    """

    node: Node
    pack_id: str
    pack: Node
    start: int
    end: int


def order_faults(unit: UnitData) -> Iterator[Fault]:
    """Faults in the orders in which the drums of a unit go together."""
    for drum_id, drum in unit.drums.items():
        order = drum.get("order")
        if order is not None and order.items:
            yield from _drum_faults(drum_id, drum, order, unit)


def _drum_faults(drum_id: str, drum: Node, order: Node, unit: UnitData) -> Iterator[Fault]:
    pieces: list[_Piece] = []
    found: list[Fault] = []
    for item in order.items:
        piece, faults = _piece(item, drum_id, unit)
        found += faults
        if piece is not None:
            pieces.append(piece)
    if not found:
        found += _gaps(drum_id, order, pieces, unit)
    if not found:
        found += _covered(drum_id, drum, pieces, unit)
    yield from found


def _piece(item: Node, drum_id: str, unit: UnitData) -> tuple[_Piece | None, list[Fault]]:
    named = item.get("pack") if item.is_mapping else item
    if named is None or named.text is None:
        return None, []
    faults = list(unknown(named, unit.packs, "pack", "Add it to packs, or take it out."))
    if faults:
        return None, faults
    pack = unit.packs[named.text]
    if pack.text_of("drum") != drum_id:
        message = f"{quoted(named.text)} is not in {quoted(drum_id)}."
        return None, [Fault(named.mark, "other-drum", message, f"Write drum: {drum_id} in that pack, or take it out here.")]
    places = places_of(pack)
    ids = [place.part_id or "" for place in places]
    for key in ("first", "last"):
        faults += unknown(item.get(key), ids, "part", "Name a part of its stack.", where=named.text)
    if faults:
        return None, faults
    first, last = item.text_of("first"), item.text_of("last")
    start = 0 if first is None else ids.index(first)
    end = len(ids) if last is None else len(ids) - ids[::-1].index(last)
    faults = list(_cut_repeats(item, places, start, end))
    return _Piece(item, named.text, pack, start, end), faults


def _cut_repeats(item: Node, places: Sequence[Place], start: int, end: int) -> Iterator[Fault]:
    """A piece takes a repeat as a whole, and does not end before it begins."""
    for key, at in (("first", start), ("last", end)):
        given = item.get(key)
        if given is not None and 0 < at < len(places) and places[at - 1].at == places[at].at:
            message = f"{quoted(given.text or '')} stands in a repeat, which cannot be cut in two."
            remedy = f"Write {key}: and the {key} part of the repeat."
            yield Fault(given.mark, "cuts-repeat", message, remedy)
    last = item.get("last")
    if last is not None and end <= start:
        message = f"{quoted(last.text or '')} goes in before {quoted(item.text_of('first') or '')}."
        yield Fault(last.mark, "crossed-order", message, "Swap them, or correct one of them.")


def _gaps(drum_id: str, order: Node, pieces: Sequence[_Piece], unit: UnitData) -> Iterator[Fault]:
    """Every part of every pack of the drum goes in once, in the order of its stack."""
    reached: dict[str, int] = {}
    for piece in pieces:
        places = places_of(piece.pack)
        due = reached.get(piece.pack_id, 0)
        if due == len(places) and places:
            yield Fault(piece.node.mark, "listed-twice", f"{quoted(piece.pack_id)} is complete already.", "Take this line out.")
        elif piece.start != due:
            part = quoted(places[due].part_id or "")
            message = f"This piece of {quoted(piece.pack_id)} begins at {quoted(places[piece.start].part_id or '')}, and {part} is next."
            yield Fault(piece.node.mark, "order-gap", message, f"Write {{pack: {piece.pack_id}, first: {places[due].part_id}}}.")
        reached[piece.pack_id] = max(due, piece.end)
    for pack_id, pack in unit.packs.items():
        places = places_of(pack)
        if pack.text_of("drum") == drum_id and reached.get(pack_id, 0) < len(places):
            rest = places[reached.get(pack_id, 0)].part_id
            what = f"{quoted(pack_id)} is" if pack_id not in reached else f"{quoted(rest or '')} of {quoted(pack_id)} is"
            more = pack_id if pack_id not in reached else f"{{pack: {pack_id}, first: {rest}}}"
            yield Fault(order.mark, "order-gap", f"{what} not in this order.", f"Add {more}.")


@dataclass(frozen=True, slots=True)
class _In:
    """A part that is in already."""

    pack_id: str
    part_id: str
    kind: str


def _covered(drum_id: str, drum: Node, pieces: Sequence[_Piece], unit: UnitData) -> Iterator[Fault]:
    """Nothing goes in, and nothing is measured, under a pack that lies above and is in already."""
    above = _above(drum, drum_id, unit)
    inside: list[_In] = []
    for piece in pieces:
        over = [part for part in inside if part.pack_id in above.get(piece.pack_id, ())]
        places = places_of(piece.pack)
        blocked = next((found for place in places[piece.start : piece.end] if (found := _blocked(place, over, unit))), None)
        body = next((part for part in over if part.kind in _BODY), None)
        if blocked is not None:
            place, part = blocked
            message = (
                f"{quoted(place.part_id or '')} of {quoted(piece.pack_id)} cannot go in: "
                f"{quoted(part.part_id)} of {quoted(part.pack_id)}, which lies above, is in already."
            )
            remedy = f"Move this line above that of {quoted(part.pack_id)}, or correct the grooves."
            yield Fault(piece.node.mark, "order-covered", message, remedy)
        elif body is not None and _is_measured_in(piece, places):
            message = f"{quoted(body.part_id)} of {quoted(body.pack_id)} covers {quoted(piece.pack_id)} before its clearance is measured."
            remedy = f"Move this line above that of {quoted(body.pack_id)}."
            yield Fault(piece.node.mark, "late-measure", message, remedy)
        inside += [
            _In(piece.pack_id, place.part_id or "", unit.kind_of(place.part_id) or "")
            for place in places[piece.start : piece.end]
        ]


def _blocked(place: Place, over: Sequence[_In], unit: UnitData) -> tuple[Place, _In] | None:
    """A place, and the part of a pack above that keeps it from going in."""
    kind = unit.kind_of(place.part_id)
    stops = _BODY if kind in _BODY else _IN_THE_WAY_OF_HUBS if kind == "hub" else frozenset[str]()
    part = next((part for part in over if part.kind in stops and part.part_id != place.part_id), None)
    return None if part is None else (place, part)


def _is_measured_in(piece: _Piece, places: Sequence[Place]) -> bool:
    """Whether the pack is measured behind a part of this piece."""
    stack = piece.pack.get("stack")
    marks = [at for at, item in enumerate(() if stack is None else stack.items) if is_measure(item)]
    if not marks:
        return False
    behind = sum(place.at < marks[0] for place in places)
    return piece.start < behind <= piece.end or behind == piece.start == 0


def _above(drum: Node, drum_id: str, unit: UnitData) -> dict[str, frozenset[str]]:
    """For each pack of the drum the packs that lie above it: by the highest groove of the wall, or as they begin on one of its plates."""
    grooves = drum.get("grooves")
    names = [] if grooves is None else [node.text for node in grooves.items]
    packs = {pack_id: pack for pack_id, pack in unit.packs.items() if pack.text_of("drum") == drum_id}
    levels = {
        pack_id: max(
            (names.index(groove) for place in places_of(pack) if (groove := place.entry.text_of("groove")) in names), default=-1
        )
        for pack_id, pack in packs.items()
    }
    return {
        low: frozenset(
            high
            for high in packs
            if high != low
            and (
                -1 < levels[low] < levels[high]
                or (-1 in {levels[low], levels[high]} and _begins_on(packs[high], packs[low], unit))
            )
        )
        for low in packs
    }


def _begins_on(high: Node, low: Node, unit: UnitData) -> bool:
    """Whether a pack begins with a plate that another pack has, and not as its first."""
    first = next(iter(places_of(high)), None)
    return (
        first is not None
        and unit.kind_of(first.part_id) in _SHARED
        and any(place.part_id == first.part_id for place in places_of(low)[1:])
    )
