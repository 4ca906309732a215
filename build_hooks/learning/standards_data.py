"""What the standards say as the plain data that exercises are made from; a unit's are made in `unit_data`."""

from __future__ import annotations

from typing import Any

from build_hooks.model import Shop
from build_hooks.model.standards import Finding, FindingReading, Tree
from build_hooks.reading.addresses import address_of
from build_hooks.standards import PagePlace, Standards

__all__ = ["standards_data", "tree_anchor"]


def standards_data(standards: Standards, shop: Shop) -> dict[str, Any]:
    """The findings and trees as plain data, in the shape of a unit without parts.

    Args:
        standards: what the standards say.
        shop: for its gauges.

    Returns:
        A JSON-ready object.
    """
    return {
        "id": "standards",
        "name": "Shop standards",
        "parts": [],
        "packs": [],
        "findings": [
            {
                "id": name,
                "name": each.name,
                "findings": [_finding(found, standards.places[name, found.id], shop) for found in each.findings.values()],
            }
            for name, each in standards.findings.items()
        ],
        "trees": [_tree(name, tree, standards.titles[tree.page]) for name, tree in standards.trees.items()],
    }


def _finding(finding: Finding, place: PagePlace, shop: Shop) -> dict[str, Any]:
    return {
        "id": finding.id,
        "drawing": finding.drawing,
        "part": finding.part,
        "found": finding.found,
        "judgement": str(finding.judgement),
        "reason": finding.reason,
        "says": finding.says,
        "page": {"title": place.title, "address": place.address},
        **({"measured": _measured(finding.reading, shop)} if finding.reading else {}),
    }


def _measured(reading: FindingReading, shop: Shop) -> dict[str, str]:
    gauge = shop.gauges[reading.gauge]
    sizes = {"step": gauge.resolution, "error": gauge.max_error, "low": reading.min, "high": reading.max}
    return {
        "what": reading.what,
        "source": reading.source,
        "gauge": gauge.name,
        **{name: str(size) for name, size in sizes.items() if size is not None},
    }


def _tree(name: str, tree: Tree, title: str) -> dict[str, Any]:
    return {
        "id": name,
        "name": tree.name,
        "start": tree.start,
        "questions": [
            {
                "id": question.id,
                "check": question.check,
                "asks": question.asks,
                "branches": [{"answer": answer.answer, "to": answer.leads_to} for answer in question.answers],
            }
            for question in tree.questions.values()
        ],
        "ends": [
            {
                "id": end.id,
                "do": end.do,
                **({"suspect": end.suspect} if end.suspect else {}),
                **({"complaints": list(end.complaints)} if end.complaints else {}),
            }
            for end in tree.ends.values()
        ],
        "page": {"title": title, "address": f"{address_of(tree.page).removesuffix('index.html')}#{tree_anchor(name)}"},
    }


def tree_anchor(name: str) -> str:
    """The id that a tree has on its page."""
    return f"tree-{name}"
