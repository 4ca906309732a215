"""The drawings of parts as they are found, by name, each with what it shows for a reader who cannot see it.

The words say where ink is and no more: what it means is the question.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from calc_engine import Element, element
from calc_engine.practice import drawn_hard, drawn_plates, drawn_sealing

__all__ = ["DRAWINGS", "Drawing", "finding_drawing"]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing.

    Attributes:
        ink: what it is made of; 320 units wide, so that one unit is one pixel on the narrowest page.
        shows: what is seen, in words.
    """

    ink: Callable[[], Iterable[Element]]
    shows: str


DRAWINGS: Final[Mapping[str, Drawing]] = {
    # friction plates
    "lining-thin": Drawing(
        drawn_plates.lining_thin,
        "Two friction plates cut through, a new one and the one found. On the new one each lining is thicker than the steel core "
        "and has deep grooves. On the one found each lining is a third as thick as the core, and of the grooves little is left.",
    ),
    "lining-even": Drawing(
        drawn_plates.lining_even,
        "A friction plate from above. The lining has the same matt grain all over, and its grooves are open from edge to edge.",
    ),
    "lining-glazed": Drawing(
        drawn_plates.lining_glazed,
        "A friction plate from above. The lining has no grain: it shines like glass, and the lamp and its window are seen in it. "
        "Of the grooves only fine lines are left.",
    ),
    "lining-burnt": Drawing(
        drawn_plates.lining_burnt,
        "A friction plate from above. The lining is black all over and has cracks from edge to edge. In three places it has gone "
        "and bare steel shows. Black crumbs lie below.",
    ),
    "lining-flaked": Drawing(
        drawn_plates.lining_flaked,
        "A friction plate from above. The lining has its grain and its grooves, but in three places a piece has come off and bare "
        "steel shows. Three flat pieces of lining lie below.",
    ),
    # steel plates
    "steel-even": Drawing(
        drawn_plates.steel_even, "A steel plate from above. It is dull grey, with fine lines all round, the same everywhere."
    ),
    "steel-spots": Drawing(
        drawn_plates.steel_spots,
        "A steel plate from above. Four dark blue spots with straw-coloured rims lie on it at even distances.",
    ),
    "steel-cracked": Drawing(
        drawn_plates.steel_cracked,
        "A steel plate from above. Fine dark lines run across it from one edge towards the other, side by side all along.",
    ),
    "steel-coned": Drawing(
        drawn_plates.steel_coned,
        "A steel plate on the surface plate, cut through. Both cuts slope: the outer edges touch, the inner edges stand clear. "
        "A dial stands on an outer edge, and again on an inner edge; its hand is not in the same place.",
    ),
    # lips
    "lip-sound": Drawing(
        drawn_sealing.lip_sound,
        "Piston and bore, cut through at the lip seal. The lip leans out of its groove and touches the wall with its whole edge.",
    ),
    "lip-rolled": Drawing(
        drawn_sealing.lip_rolled,
        "Piston and bore, cut through at the lip seal. The lip is folded back under its own seal, and does not reach the wall.",
    ),
    "lip-nicked": Drawing(
        drawn_sealing.lip_nicked,
        "A piece of a lip seal. In the thin edge of the lip is one small notch; a round inset shows it larger, with a tear in it.",
    ),
    # hard rings, lands and bores
    "ring-gap": Drawing(
        drawn_sealing.ring_gap,
        "A hard sealing ring alone in its bore. Its two ends face each other with a gap between them; a round inset shows the gap "
        "larger. The ends are square and whole.",
    ),
    "land-sharp": Drawing(
        drawn_sealing.land_sharp,
        "A shaft cut through at the groove of a sealing ring. Both walls are straight from bottom to top, with sharp edges. A new "
        "ring stands in the groove, with a narrow gap beside it.",
    ),
    "land-stepped": Drawing(
        drawn_sealing.land_stepped,
        "A shaft cut through at the groove of a sealing ring. One wall is straight. In the other there is a hollow with a ledge "
        "below it, and its edge is round. A new ring stands in the groove.",
    ),
    "bore-sound": Drawing(
        drawn_sealing.bore_sound, "A bore with its near half cut away. On its wall there are only fine, even lines all round."
    ),
    "bore-scored": Drawing(
        drawn_sealing.bore_scored,
        "A bore with its near half cut away. Three deep lines run down its wall, from the mouth towards the bottom.",
    ),
    # bushings and shafts
    "bushing-even": Drawing(
        drawn_hard.bushing_even,
        "A bushing in its bore, the near half cut away. Its inside is the same grey all over. The hole of the feed is open.",
    ),
    "bushing-through": Drawing(
        drawn_hard.bushing_through,
        "A bushing in its bore, the near half cut away. In the middle of its grey inside a large patch has the colour of copper, "
        "and so have two small ones.",
    ),
    "shaft-sound": Drawing(
        drawn_hard.shaft_sound,
        "A shaft from the side, of one size from end to end. Where the bushing ran it has an even shine, with no line round it.",
    ),
    "shaft-step": Drawing(
        drawn_hard.shaft_step,
        "A shaft from the side. Where the bushing ran it is thinner, with a ledge at either end and lines round it.",
    ),
    # one-way clutches, teeth, thrust faces
    "race-sound": Drawing(
        drawn_hard.race_sound, "The inner race of a one-way clutch. Its track has an even shine and nothing else."
    ),
    "race-dents": Drawing(
        drawn_hard.race_dents,
        "The inner race of a one-way clutch. In its track short dents stand side by side, at even distances.",
    ),
    "sprag-flat": Drawing(
        drawn_hard.sprag_flat,
        "Two sprags from the side, a new one and the one found. Both ends of the new one are round. The upper end of the one found "
        "is straight, as if cut off.",
    ),
    "tooth-sound": Drawing(drawn_hard.tooth_sound, "The tooth of a gear. Its flank has an even shine over its whole width."),
    "tooth-pits": Drawing(
        drawn_hard.tooth_pits,
        "The tooth of a gear. Across the middle of its flank lie small holes with ragged edges, close together.",
    ),
    "face-even": Drawing(
        drawn_hard.face_even, "A thrust face from above. A dull ring of one width runs all along it, without an edge."
    ),
    "face-needles": Drawing(
        drawn_hard.face_needles,
        "A thrust face from above. Short dents lie side by side like the spokes of a wheel, all along it.",
    ),
    # the magnet of the pan
    "magnet-paste": Drawing(
        drawn_hard.magnet_paste,
        "The magnet of the pan. A thin soft coat lies on it, grey and even; a finger has drawn a smooth streak through it.",
    ),
    "magnet-splinters": Drawing(
        drawn_hard.magnet_splinters,
        "The magnet of the pan. Long pointed pieces and chips with sharp corners stand out from it on all sides.",
    ),
}
"""By the name that the data uses."""


def finding_drawing(name: str) -> Element:
    """A drawing of the set.

    Args:
        name: one of `DRAWINGS`.

    Returns:
        An SVG element with its description.
    """
    drawing = DRAWINGS[name]
    return element(
        "svg",
        {"viewBox": "0 0 320 214", "role": "img", "aria-label": drawing.shows, "class": "practice-finding", "data-drawing": name},
        *drawing.ink(),
    )
