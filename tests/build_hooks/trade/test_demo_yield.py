"""The invented units could be built: nominal parts come within the limits, and a forecast says how many rebuilds do.

The tolerance of each part counts as a uniform spread over its whole width, which is how the calculation `stack-forecast` takes it.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Final

import pytest

from build_hooks.library import load
from build_hooks.model import Pack, Unit, parts_in_cavity
from build_hooks.trade.cavities import share_within_limits

_DOCS: Final = Path(__file__).parents[3] / "docs"

# Of 1,000 rebuilds: within limits with the parts that the stack names, and with the size of the kits that suits.
YIELDS: Final = {
    "alder-4 forward": (992, 999),
    "alder-4 direct": (977, 1000),
    "alder-4 intermediate": (988, 1000),
    "alder-4 low-reverse": (998, 1000),
    "hazel-2 high": (999, 1000),
    "hazel-2 low": (1000, 1000),
    "rowan-6 low": (988, 999),
    "rowan-6 drive": (966, 999),
    "rowan-6 reduction": (985, 1000),
    "rowan-6 reverse": (997, 1000),
    "rowan-6 second": (988, 1000),
    "rowan-6 top": (988, 1000),
}


@pytest.fixture(scope="module")
def units() -> dict[str, Unit]:
    """The demo's units."""
    library, _ = load(_DOCS)
    assert library is not None
    return dict(library.units)


def _packs(units: dict[str, Unit]) -> dict[str, tuple[Unit, Pack]]:
    return {f"{unit.id} {pack.id}": (unit, pack) for unit in units.values() for pack in unit.packs.values()}


def _of_a_thousand(share: Fraction | None) -> int:
    assert share is not None
    return int(share * 1000)


def test_every_element_but_a_one_way_clutch_has_a_pack_with_a_room_and_limits(units: dict[str, Unit]) -> None:
    """No clutch or brake of a gear set is left to another book."""
    for unit in units.values():
        assert unit.gear_set is not None
        for element in unit.gear_set.elements.values():
            if element.turns_freely is None:
                assert element.pack is not None, (unit.id, element.id)
                pack = unit.packs[element.pack]
                assert (pack.cavity is not None, pack.clearance is not None, pack.grip is not None) == (True, True, True), pack.id


def test_nominal_parts_come_within_their_limits(units: dict[str, Unit]) -> None:
    """The room less what goes into it is a clearance that the limits allow."""
    for name, (_, pack) in _packs(units).items():
        assert pack.cavity is not None, name
        assert pack.clearance is not None, name
        clearance = pack.cavity.nominal.base - sum(room for _, room in parts_in_cavity(pack))
        assert pack.clearance.min.base < clearance < pack.clearance.max.base, (name, float(clearance))


def test_so_many_rebuilds_come_within_their_limits(units: dict[str, Unit]) -> None:
    """Each pack with the parts that the stack names, and with its kits."""
    shares = {
        name: (_of_a_thousand(share_within_limits(pack, ())), _of_a_thousand(share_within_limits(pack, unit.kits_of(pack.id))))
        for name, (unit, pack) in _packs(units).items()
    }
    assert shares == YIELDS
