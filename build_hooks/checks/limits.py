"""Do limits make sense, and can the gauge that is named measure them?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from build_hooks.checks.values import known_kind, length_of, unknown
from build_hooks.model import Check, CheckedQuantity, GaugeKind
from build_hooks.model.fields import GAUGE_NEEDED, checked_or_none
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, listed, quoted
from calc_engine import GAUGES_OF_METHOD, Quantity

__all__ = ["check_faults", "limit_faults"]


def limit_faults(spec: Node, gauges: Mapping[str, str] | None) -> Iterator[Fault]:
    """Faults in the limits of a clearance or an end play.

    Args:
        spec: the mapping with ``min`` and ``max``.
        gauges: the kind of each gauge of the shop by its id, empty where it is at fault; or None if they are not known.
    """
    yield from _crossed(spec, *(length_of(spec, key) for key in ("min", "max", "target")))
    yield from _unknown_gauge(spec, gauges)
    yield from _unfit_gauge(spec, gauges or {})


def check_faults(check: Node, gauges: Mapping[str, str] | None) -> Iterator[Fault]:
    """Faults in what is measured after a step.

    Args:
        check: the mapping with its quantity and limits.
        gauges: as for `limit_faults`.
    """
    if all(check.lacks(key, Check.model_fields) for key in ("min", "max")):
        yield Fault(
            check.mark, "no-limits", "The check has no limits.", "Add min:, max: or both; a check without a figure is a hold."
        )
    quantity = known_kind(check, CheckedQuantity, "quantity")
    if quantity is not None:
        yield from _crossed(check, *(checked_or_none(check.text_of(key), quantity) for key in ("min", "max")))
    yield from _unknown_gauge(check, gauges)
    kind = (gauges or {}).get(check.text_of("gauge") or "")
    fitting = _fitting(quantity)
    if quantity is not None and kind and kind not in fitting:
        message = f"The gauge {quoted(check.text_of('gauge') or '')} is a {kind} gauge, and the quantity is {quantity}."
        remedy = f"Name a gauge of kind {listed(fitting)}, or change the quantity."
        yield Fault(check.children["gauge"].mark, "unfit-gauge", message, remedy)


def _fitting(quantity: str | None) -> list[str]:
    """The kinds of gauge that measure a quantity."""
    needed = GAUGE_NEEDED.get(quantity or "")
    return [needed] if needed else [kind for kind in GaugeKind if kind not in GAUGE_NEEDED.values()]


def _unknown_gauge(spec: Node, gauges: Mapping[str, str] | None) -> Iterator[Fault]:
    known = gauges if gauges is not None else [spec.text_of("gauge") or ""]
    yield from unknown(spec.get("gauge"), known, "gauge", "Add it to gauges in shop.yml.")


def _crossed(spec: Node, low: Quantity | None, high: Quantity | None, target: Quantity | None = None) -> Iterator[Fault]:
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
