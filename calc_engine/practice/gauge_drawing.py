"""Draws a dial or a depth micrometer as ink on paper: an open face, large figures, nothing of any maker's."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from calc_engine import Element, element, exact_text
from calc_engine.practice.circle import hundredths, on_circle
from calc_engine.practice.gauge_types import DIVISIONS, TURNS, DepthMicrometer, Dial, Reading

__all__ = ["described", "dial_drawing", "micrometer_drawing"]

# --- the dial, in drawing units; 320 wide, so that one unit is one pixel on the narrowest page
_SIZE: Final = 320
_CENTRE: Final = 160
_RIM: Final = 154
_OUTER: Final = 146
_SMALL_AT: Final = (160, 214)
_SMALL_RIM: Final = 38

# --- the micrometer
_EDGE: Final = 176
_INDEX: Final = 100
_SLEEVE_TOP: Final = 48
_SLEEVE_BOTTOM: Final = 152
_THIMBLE_TOP: Final = 12
_THIMBLE_BOTTOM: Final = 188
_ACROSS: Final = 200
_SLEEVE_END: Final = 1_000  # hundredths of a drawing unit: nearer to the drawing's edge no line is drawn
_LINE_STEP: Final = 9  # between two lines of the thimble


def dial_drawing(dial: Dial, reading: Reading) -> Element:
    """The face of a dial with its hands.

    Args:
        dial: which one.
        reading: what it shows.

    Returns:
        An SVG element, 320 units square. Its description tells where the hands stand, not what that means.
    """
    long_turn = Fraction(reading.tenths, 10 * DIVISIONS)
    small_turn = Fraction(reading.turns, TURNS) + long_turn / TURNS
    return element(
        "svg",
        {"viewBox": f"0 0 {_SIZE} {_SIZE}", "role": "img", "aria-label": described(dial, reading), "class": "practice-gauge"},
        _circle(_CENTRE, _CENTRE, _RIM, "practice-rim"),
        *_face_lines(),
        *_numerals(dial),
        _circle(*_SMALL_AT, _SMALL_RIM, "practice-small-rim"),
        *_counter(),
        element("text", _text_at(_CENTRE, 96, "practice-legend"), f"{exact_text(dial.step)} {dial.unit.name}"),
        _hand(*_SMALL_AT, small_turn, _SMALL_RIM - 20, "practice-small-hand"),
        _hand(_CENTRE, _CENTRE, long_turn, _OUTER - 4, "practice-long-hand"),
        _circle(_CENTRE, _CENTRE, 7, "practice-pivot"),
    )


def _circle(x: int, y: int, radius: int, kind: str) -> Element:
    return element("circle", {"cx": str(x), "cy": str(y), "r": str(radius), "class": kind})


def _text_at(x: int | str, y: int | str, kind: str) -> dict[str, str]:
    return {"x": str(x), "y": str(y), "text-anchor": "middle", "dominant-baseline": "central", "class": kind}


def _spoke(x: int, y: int, turn: Fraction, inner: int, outer: int) -> str:
    """A stroke that points away from a centre, clockwise from the top."""
    sine, cosine = on_circle(turn)
    ends = ((hundredths(x, 100 * radius, sine), hundredths(y, -100 * radius, cosine)) for radius in (inner, outer))
    return "".join(f"{command}{across} {down}" for command, (across, down) in zip("ML", ends, strict=True))


def _face_lines() -> list[Element]:
    lengths = {0: (20, "practice-tenth"), 5: (14, "practice-fifth")}
    paths: dict[str, list[str]] = {}
    for line in range(DIVISIONS):
        length, kind = lengths.get(line % 10, (9, "practice-line"))
        paths.setdefault(kind, []).append(_spoke(_CENTRE, _CENTRE, Fraction(line, DIVISIONS), _OUTER - length, _OUTER))
    return [element("path", {"class": kind, "d": "".join(strokes)}) for kind, strokes in paths.items()]


def _numerals(dial: Dial) -> list[Element]:
    found = []
    for tenth in range(10):
        sine, cosine = on_circle(Fraction(tenth, 10))
        at = _text_at(hundredths(_CENTRE, 11_200, sine), hundredths(_CENTRE, -11_200, cosine), "practice-numeral")
        found.append(element("text", at, exact_text(tenth * dial.numeral)))
    return found


def _counter() -> list[Element]:
    x, y = _SMALL_AT
    strokes = "".join(_spoke(x, y, Fraction(turn, TURNS), _SMALL_RIM - 7, _SMALL_RIM) for turn in range(TURNS))
    found = [element("path", {"class": "practice-line", "d": strokes})]
    for turn in range(TURNS):
        sine, cosine = on_circle(Fraction(turn, TURNS))
        at = _text_at(hundredths(x, 2_450, sine), hundredths(y, -2_450, cosine), "practice-small-numeral")
        found.append(element("text", at, str(turn)))
    return found


def _hand(x: int, y: int, turn: Fraction, length: int, kind: str) -> Element:
    return element("path", {"class": kind, "d": _spoke(x, y, turn, -length // 6, length)})


def micrometer_drawing(gauge: DepthMicrometer, reading: Reading) -> Element:
    """Sleeve and thimble of a depth micrometer, base to the left.

    Args:
        gauge: which one.
        reading: what it shows; the thimble has gone over that many sleeve lines.

    Returns:
        An SVG element, 320 by 200 units. Its description tells which lines are seen, not what that means.
    """
    thimble = f"M{_EDGE} {_SLEEVE_TOP - 6}L{_EDGE + 30} {_THIMBLE_TOP}H{_SIZE}V{_THIMBLE_BOTTOM}H{_EDGE + 30}L{_EDGE} {_SLEEVE_BOTTOM + 6}z"
    return element(
        "svg",
        {"viewBox": f"0 0 {_SIZE} {_ACROSS}", "role": "img", "aria-label": described(gauge, reading), "class": "practice-gauge"},
        element("path", {"class": "practice-sleeve", "d": f"M0 {_SLEEVE_TOP}H{_EDGE}V{_SLEEVE_BOTTOM}H0z"}),
        element("path", {"class": "practice-index", "d": f"M0 {_INDEX}H{_EDGE}"}),
        *_sleeve_lines(gauge, reading),
        element("path", {"class": "practice-thimble", "d": thimble}),
        *_thimble_lines(gauge, reading),
    )


def _sleeve_lines(gauge: DepthMicrometer, reading: Reading) -> list[Element]:
    """The lines that the thimble has not covered yet, as far as the drawing reaches."""
    spacing = 820 if gauge.halves else 1_500  # hundredths of a drawing unit from line to line
    passed = Fraction(reading.tenths, 10 * gauge.lines) + reading.turns
    strokes: dict[str, list[str]] = {}
    numbers = []
    for line in range(reading.turns + 1, gauge.reach + 1):
        across = _EDGE * 100 - int((line - passed) * spacing)
        if across < _SLEEVE_END:
            break
        x = hundredths(0, across)
        long = line % gauge.long_every == 0
        top, bottom = (_INDEX, _INDEX + 20) if gauge.halves and not long else (_INDEX - (26 if long else 15), _INDEX)
        strokes.setdefault("practice-tenth" if long else "practice-line", []).append(f"M{x} {top}V{bottom}")
        if line % gauge.numbered_every == 0:
            numeral = str(line // gauge.numbered_every * gauge.number)
            numbers.append(element("text", _text_at(x, _INDEX - 35, "practice-numeral"), numeral))
    return [*(element("path", {"class": kind, "d": "".join(paths)}) for kind, paths in strokes.items()), *numbers]


def _thimble_lines(gauge: DepthMicrometer, reading: Reading) -> list[Element]:
    """The thimble's lines about the index line; their numbers grow downwards, against an outside micrometer's."""
    found = []
    strokes = []
    for line in range(reading.line - 9, reading.line + 11):
        down = _INDEX * 100 + (10 * line - reading.tenths) * _LINE_STEP * 10
        if not (_SLEEVE_TOP - 2) * 100 < down < (_SLEEVE_BOTTOM + 2) * 100:
            continue
        y = hundredths(0, down)
        fifth = line % 5 == 0
        strokes.append(f"M{_EDGE} {y}h{30 if fifth else 18}")
        if fifth:
            found.append(element("text", _text_at(_EDGE + 50, y, "practice-numeral"), str(line % gauge.lines)))
    return [element("path", {"class": "practice-line", "d": "".join(strokes)}), *found]


def described(gauge: Dial | DepthMicrometer, reading: Reading) -> str:
    """What a drawing shows to a reader who cannot see it: where hands and lines stand, and no more than that.

    Args:
        gauge: a dial or a depth micrometer.
        reading: where its hands or lines are.
    """
    return _described_dial(gauge, reading) if isinstance(gauge, Dial) else _described_micrometer(gauge, reading)


def _described_dial(dial: Dial, reading: Reading) -> str:
    tenth, past = divmod(reading.line, 10)
    numeral = exact_text(tenth * dial.numeral)
    return (
        f"{_named(dial)}. The long hand stands {_stands(past, reading.between, numeral)}. "
        f"The small hand stands {_small_hand(reading)}."
    )


def _named(gauge: Dial | DepthMicrometer) -> str:
    return f"{'An' if gauge.name.startswith('inch') else 'A'} {gauge.name}"


def _stands(past: int, between: int, numeral: str) -> str:
    """Where a hand stands, in lines past a number."""
    if between:
        return f"between line {past} and line {past + 1} past {numeral}, about {between} tenths of the way"
    return f"on line {past} past {numeral}" if past else f"on {numeral}"


def _small_hand(reading: Reading) -> str:
    following = (reading.turns + 1) % TURNS
    if reading.tenths == 0:
        return f"on {reading.turns}"
    if reading.tenths * 10 < DIVISIONS * 10:
        return f"just past {reading.turns}"
    if reading.tenths * 10 > 9 * DIVISIONS * 10:
        return f"just short of {following}"
    return f"between {reading.turns} and {following}"


def _described_micrometer(gauge: DepthMicrometer, reading: Reading) -> str:
    """Which sleeve line is the first that the thimble leaves in sight, and which thimble line meets the index line."""
    seen = reading.turns + 1
    numbered = -(-seen // gauge.numbered_every) * gauge.numbered_every
    before = numbered - seen
    numeral = numbered // gauge.numbered_every * gauge.number
    sleeve = (
        f"the line numbered {numeral}"
        if not before
        else f"{before} {'line' if before == 1 else 'lines'} before the one numbered {numeral}"
    )
    half = " Lines of whole millimetres are above the index line, lines of half millimetres below." if gauge.halves else ""
    fifth, past = divmod(reading.line, 5)
    return (
        f"{_named(gauge)}. The first sleeve line in sight at the thimble's edge is {sleeve}.{half} "
        f"The index line meets the thimble {_stands(past, reading.between, str(5 * fifth))}."
    )
