"""Cross references and sense of the data: what a schema cannot say. Everything is reported at once, by place.

The checks read the tree and not the model, so that a fault in one key hides no fault in the next. They pass over whatever is
not in shape, because that is reported already.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from itertools import chain, islice

from build_hooks.checks.gear_set import gear_set_faults
from build_hooks.checks.kits import kit_faults
from build_hooks.checks.measuring import measuring_faults
from build_hooks.checks.order import order_faults
from build_hooks.checks.packs import float_faults, pack_faults, shaft_faults
from build_hooks.checks.parts import drum_faults, part_faults
from build_hooks.checks.shop import shop_faults, shop_warnings, units_of
from build_hooks.checks.status import status_faults
from build_hooks.checks.values import known_kind, section, unit_data
from build_hooks.model import GaugeKind, Shop
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import MOST_FAULTS, Fault, in_order
from calc_engine import System

__all__ = ["check_shop", "check_unit", "gauge_kinds", "shop_warnings", "status_faults", "tool_ids", "units_of"]


def check_shop(root: Node) -> tuple[Fault, ...]:
    """What does not make sense in the data of a shop, by place."""
    return in_order(islice(shop_faults(root), MOST_FAULTS))


def gauge_kinds(root: Node) -> Mapping[str, str]:
    """The kinds of a shop's gauges by their ids; empty text where a kind is at fault."""
    return {
        gauge_id: known_kind(gauge, GaugeKind) or "" for gauge_id, gauge in section(root, "gauges", Shop.model_fields).items()
    }


def tool_ids(root: Node) -> tuple[str, ...]:
    """The ids of a shop's tools."""
    return tuple(section(root, "tools", Shop.model_fields))


def check_unit(
    root: Node, gauges: Mapping[str, str] | None, tools: Collection[str] | None, units: System = "metric"
) -> tuple[Fault, ...]:
    """What does not make sense in the data of a unit, by place.

    Args:
        root: its tree.
        gauges: kind of each of the shop's gauges by its id, or None if the shop could not be read.
        tools: ids of the shop's tools, or None if the shop could not be read.
        units: the shop's, for the examples in messages.
    """
    unit = unit_data(root, gauges, tools, units)
    checks = (
        drum_faults,
        part_faults,
        pack_faults,
        measuring_faults,
        order_faults,
        float_faults,
        shaft_faults,
        kit_faults,
        gear_set_faults,
    )
    found = chain(status_faults(root.get("status")), chain.from_iterable(check(unit) for check in checks))
    return in_order(islice(found, MOST_FAULTS))
