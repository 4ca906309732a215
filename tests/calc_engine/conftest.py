"""What tests of calculations share: asking the engine as a script would, through its one door."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import settings

from calc_engine import CATALOGUE, answer, encode

# How long an example takes is no promise of the suite.
settings.register_profile("engine", deadline=None)
settings.load_profile("engine")


class Bench:
    """Asks one calculation and takes the reply apart. The request starts from the calculation's own example."""

    def reply(self, name: str, changes: dict[str, Any], *, example: bool = True) -> dict[str, Any]:
        """The reply to the example with some fields changed; a field set to ... is left out."""
        merged = (dict(CATALOGUE[name].example) if example else {}) | changes
        reply = answer(name, {field: value for field, value in merged.items() if value is not ...})
        encode(reply)  # refuses what is no JSON
        return reply

    def result(self, name: str, /, **changes: Any) -> dict[str, Any]:
        """The result, which must be ok."""
        reply = self.reply(name, changes)
        assert reply["ok"], reply
        return reply["result"]

    def working(self, name: str, /, **changes: Any) -> list[str]:
        """The lines of the working."""
        return self.reply(name, changes)["working"]

    def cautions(self, name: str, /, **changes: Any) -> list[str]:
        """The cautions."""
        return self.reply(name, changes)["cautions"]

    def problems(self, name: str, /, **changes: Any) -> list[tuple[str, str, str, str]]:
        """Field, code, message and remedy of each problem; there must be one."""
        reply = self.reply(name, changes)
        assert not reply["ok"], reply
        return [(item["field"], item["code"], item["message"], item["remedy"]) for item in reply["problems"]]


@pytest.fixture(scope="session")
def bench() -> Bench:
    """The engine, asked as a script asks it."""
    return Bench()


@pytest.fixture(scope="session")
def figure() -> Any:
    """The figure of a quantity text whose unit is as expected."""

    def take(text: str, unit: str) -> Decimal:
        number, given = text.split(" ", maxsplit=1)
        assert given == unit
        return Decimal(number)

    return take


@pytest.fixture(scope="session")
def near() -> Any:
    """Compares a reply with figures worked out elsewhere: to 1e-12 of themselves, all else exactly. A list may stand for a tuple."""
    return _near


def _near(found: Any, expected: Any) -> bool:
    if isinstance(expected, dict):
        return found.keys() == expected.keys() and all(_near(found[key], value) for key, value in expected.items())
    if isinstance(expected, (list, tuple)):
        return len(found) == len(expected) and all(map(_near, found, expected))
    if isinstance(expected, float):
        return bool(abs(found - expected) <= abs(expected) * 1e-12)
    if isinstance(expected, str) and expected[:1] in set("-0123456789"):
        number, _, unit = expected.partition(" ")
        given, _, given_unit = found.partition(" ")
        return unit == given_unit and abs(Decimal(given) - Decimal(number)) <= abs(Decimal(number)) * Decimal("1e-12")
    return bool(found == expected)
