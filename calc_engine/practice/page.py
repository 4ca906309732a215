"""What the page's worker calls: a verb and a request text in, one reply text out. It never raises, and only data crosses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from calc_engine import Problem, Refused, decode_request, encode, told_problems
from calc_engine.practice.edition import EDITION
from calc_engine.practice.generator import LARGEST_SEED
from calc_engine.practice.kinds import KINDS, Kind
from calc_engine.practice.reading import MessageReader
from calc_engine.practice.repetition import due, new_card, read_card, read_day, review
from calc_engine.practice.unit import ExerciseUnit, Pack
from calc_engine.practice.unit_reader import read_unit

__all__ = ["VERBS", "answer_for_practice"]

# Never the fault of the request: said without a traceback, so that a page can show it.
_UNEXPECTED: Final = Problem(
    "", "practice-fault", "The practice failed on this request; it is not the answer's fault.", "Keep the request and report it."
)


def answer_for_practice(verb: str, text: str) -> str:
    """Answers a request of a page. The same request gives the same bytes on every machine.

    - ``list`` {unit}: the kinds of exercise, and for each pack why a kind cannot be made of it, or null.
    - ``make`` {unit, pack, kind, seed}: the exercise, or null and ``why_not``.
    - ``mark`` {unit, pack, kind, seed, answer}: the mark of an answer to the exercise of that seed; or null, and as ``further`` what
      this answer leads to: it is marked once that is answered too.
    - ``schedule`` {today, cards, answered}: the cards after the answers ``[{id, quality}]``, and the ids that are due.

    Args:
        verb: one of `VERBS`.
        text: the request as JSON.

    Returns:
        JSON: ``{"ok": true, "verb", "edition", ...}``, or ``{"ok": false, ..., "problems": [{field, code, message, remedy}]}``
        with every problem of the request. It raises nothing.
    """
    try:
        reply = _answerer(verb)(decode_request(text))
    except Refused as refused:
        return encode(_head(verb, ok=False) | {"problems": told_problems(refused.problems)})
    except Exception:  # noqa: BLE001 - a page must say that the practice failed, whatever the reason
        return encode(_head(verb, ok=False) | {"problems": [_UNEXPECTED.as_json()]})
    return encode(_head(verb, ok=True) | reply)


def _answerer(verb: str) -> Callable[[object], dict[str, Any]]:
    if verb in VERBS:
        return VERBS[verb]
    raise Refused(Problem("", "unknown-verb", "This verb is not known.", f"Known: {', '.join(VERBS)}."))


def _head(verb: str, *, ok: bool) -> dict[str, Any]:
    return {"ok": ok, "verb": verb if verb in tuple(VERBS) else "", "edition": EDITION}


def _list(request: object) -> dict[str, Any]:
    given, unit, reader = _request(request, ())
    reader.refuse_if_any()
    assert unit is not None and given is not None  # noqa: S101, PT018 - a missing unit is a problem
    return {
        "kinds": [{"kind": kind.name, "title": kind.title, "about": kind.about} for kind in KINDS.values()],
        "packs": [
            {
                "id": pack.id,
                "name": pack.name,
                "kinds": [{"kind": kind.name, "why_not": kind.why_not(unit, pack)} for kind in KINDS.values()],
            }
            for pack in unit.packs.values()
        ],
    }


def _make(request: object) -> dict[str, Any]:
    unit, pack, kind, seed, _ = _exercise_request(request, ())
    exercise = kind.make(unit, pack, seed)
    if exercise is None:
        return {"exercise": None, "why_not": kind.why_not(unit, pack)}
    return {"exercise": exercise.as_json()}


def _mark(request: object) -> dict[str, Any]:
    unit, pack, kind, seed, given = _exercise_request(request, ("answer",))
    exercise = kind.make(unit, pack, seed)
    if exercise is None:
        reason = kind.why_not(unit, pack) or ""
        raise Refused(Problem("kind", "no-exercise", f"There is no such exercise. {reason}", "Ask for another kind or pack."))
    further = kind.further(exercise, given["answer"])
    if further is not None:
        return {"mark": None, "further": further.as_json()}
    return {"mark": kind.mark(exercise, given["answer"]).as_json()}


def _request(request: object, more: tuple[str, ...]) -> tuple[Mapping[str, Any], ExerciseUnit | None, MessageReader]:
    """The request as an object, with its unit if that is sound; what is wrong is kept in the reader."""
    reader = MessageReader()
    given = reader.mapping(request, "", ("unit", *more)) or {}
    unit = None
    if "unit" in given:
        try:
            unit = read_unit(given["unit"])
        except Refused as refused:
            reader.problems.extend(
                Problem(f"unit.{problem.field}".rstrip("."), problem.code, problem.message, problem.remedy)
                for problem in refused.problems
            )
    return given, unit, reader


def _exercise_request(request: object, more: tuple[str, ...]) -> tuple[ExerciseUnit, Pack, Kind, int, Mapping[str, Any]]:
    given, unit, reader = _request(request, ("pack", "kind", "seed", *more))
    kind = reader.choice(given["kind"], "kind", KINDS) if "kind" in given else None
    seed = reader.whole(given["seed"], "seed", 0, LARGEST_SEED) if "seed" in given else 0
    pack = reader.choice(given["pack"], "pack", unit.packs) if "pack" in given and unit is not None else None
    reader.refuse_if_any()
    assert unit is not None and kind is not None and pack is not None  # noqa: S101, PT018 - each missing one is a problem
    return unit, unit.packs[pack], KINDS[kind], seed, given


def _schedule(request: object) -> dict[str, Any]:
    reader = MessageReader()
    given = reader.mapping(request, "", ("today", "cards"), ("answered",)) or {}
    today = read_day(reader, given["today"], "today") if "today" in given else None
    items = reader.items(given.get("cards", []), "cards")
    found = [read_card(reader, item, f"cards.{index}") for index, item in enumerate(items)]
    cards = {card.id: card for card in found if card is not None}
    reader.once((card.id for card in found if card is not None), "cards")
    answered = [
        _answered(reader, item, f"answered.{index}")
        for index, item in enumerate(reader.items(given.get("answered", []), "answered"))
    ]
    reader.refuse_if_any()
    assert today is not None  # noqa: S101 - a missing day is a problem
    for name, quality in answered:
        cards[name] = review(cards.get(name) or new_card(name, today), quality, today)
    return {
        "cards": [card.as_json() for card in cards.values()],
        "due": [card.id for card in due(tuple(cards.values()), today)],
    }


def _answered(reader: MessageReader, value: object, field: str) -> tuple[str, int]:
    given = reader.mapping(value, field, ("id", "quality")) or {}
    name = reader.text(given["id"], f"{field}.id") if "id" in given else ""
    return name, reader.whole(given["quality"], f"{field}.quality", 0, 5) if "quality" in given else 0


VERBS: Final[Mapping[str, Callable[[object], dict[str, Any]]]] = {
    "make": _make,
    "mark": _mark,
    "schedule": _schedule,
    "list": _list,
}
