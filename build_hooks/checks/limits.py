"""Do limits make sense, and can the gauge that is named measure them?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from build_hooks.checks.values import length_of, unknown
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, listed, quoted
from calc_engine import GAUGES_OF_METHOD

__all__ = ["limit_faults"]


def limit_faults(spec: Node, gauges: Mapping[str, str] | None) -> Iterator[Fault]:
    """Faults in the limits of a clearance or an end play.

    Args:
        spec: the mapping with ``min`` and ``max``.
        gauges: the kind of each gauge of the shop by its id, empty where it is at fault; or None if they are not known.
    """
    yield from _crossed(spec)
    yield from unknown(
        spec.get("gauge"),
        gauges if gauges is not None else [spec.text_of("gauge") or ""],
        "gauge",
        "Add it to gauges in shop.yml.",
    )
    yield from _unfit_gauge(spec, gauges or {})


def _crossed(spec: Node) -> Iterator[Fault]:
    low, high, target = (length_of(spec, key) for key in ("min", "max", "target"))
    if low is None or high is None:
        return
    if low.base >= high.base:
        message = f"The smallest, {spec.text_of('min')}, is not below the largest, {spec.text_of('max')}."
        yield Fault(spec.children["min"].mark, "crossed-limits", message, "Swap them, or correct one of them.")
    elif target is not None and not low.base <= target.base <= high.base:
        message = f"The target {spec.text_of('target')} is outside the limits {spec.text_of('min')} to {spec.text_of('max')}."
        yield Fault(spec.children["target"].mark, "target-outside", message, "Choose one between them, or take it out.")


def _unfit_gauge(spec: Node, gauges: Mapping[str, str]) -> Iterator[Fault]:
    gauge, method = spec.text_of("gauge") or "", spec.text_of("method") or ""
    kind, fitting = gauges.get(gauge), GAUGES_OF_METHOD.get(method)
    if not kind or fitting is None or kind in fitting:
        return
    message = f"The gauge {quoted(gauge)} is a {kind} gauge, and the method is {method}."
    yield Fault(
        spec.children["gauge"].mark, "unfit-gauge", message, f"Name a gauge of kind {listed(fitting)}, or change the method."
    )
