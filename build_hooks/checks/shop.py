"""Does the shop's data make sense?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from build_hooks.checks.values import section
from build_hooks.model import Gauge, Shop
from build_hooks.model.fields import suited_example
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, quoted
from calc_engine import System

__all__ = ["shop_faults", "shop_warnings", "units_of"]

# A feeler gauge has no steps to read; its leaves have an error all the same.
_NEEDED: Final = {
    "dial": ("resolution", "max_error"),
    "depth": ("resolution", "max_error"),
    "micrometer": ("resolution", "max_error"),
    "feeler": ("max_error",),
}


def shop_faults(root: Node) -> Iterator[Fault]:
    """Faults in the data of the shop that go beyond its shape."""
    units = units_of(root)
    for gauge_id, gauge in section(root, "gauges", Shop.model_fields).items():
        kind = gauge.text_of("kind") or ""
        for key in _NEEDED.get(kind, ()):
            if gauge.lacks(key, Gauge.model_fields):
                message = f"{quoted(gauge_id)} has no {quoted(key)}, and a gauge of kind {kind} needs one."
                example = suited_example(Gauge.model_fields[key].examples or (), units)
                yield Fault(gauge.mark, "missing-key", message, f"Add it, for example {key}: {example}.")


def units_of(root: Node) -> System:
    """The units of a shop, metric where none are named or what is named are none."""
    return "inch" if root.text_of("units") == "inch" else "metric"


def shop_warnings(root: Node, shop: Shop) -> Iterator[Fault]:
    """What works, but should not stay so.

    Args:
        root: the tree of shop.yml, for the places.
        shop: the same, found sound.
    """
    jobs = root.get("jobs")
    folder = jobs.get("folder") if jobs else None
    if folder and shop.jobs and shop.jobs.folder.is_plain:
        message = (
            f"{quoted(shop.jobs.folder.address)} is not encrypted: whoever is in this network can read the jobs and the password."
        )
        yield Fault(folder.mark, "plain-folder", message, "Let the server offer it by https, and write https here.")
