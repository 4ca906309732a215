"""The roles of fields: by them forms, panels, pages and blocks know what a field is, and never by its name."""

from __future__ import annotations

from typing import Literal

__all__ = ["Role"]

# In a request, what unit data fills:
#   limits           a group of min and max that the measured value is held against
#   target           the value to aim at within the limits
#   gauge            a group of resolution and max_error
#   method           how it is measured
#   reading          a list with an entry for each position; of several in one method, the others are subtracted from the first
#   cavity           of a pack whose parts are measured one by one: what they lie in
#   measured parts   those parts; its rows have the roles identity, thickness and count
#   plate count      the number of friction plates
#   spread limit     the largest difference between the positions
#   wave             a group of free, flat and specified
#   sizes            the sizes of a selective part; its rows have the roles identity, thickness and stock
#   fitted           the identity of the size that was measured with
#   effect           whether a thicker size tightens or loosens
#   packs            the packs that are set together; its rows have the roles identity, limits, target, and measured and uncertainty,
#                    or what a reading is judged by: spread limit, plate count, wave, gauge
#   places           the places of selective parts; its rows have the roles identity, sizes, fitted, effect
#   number of answers  how many of the best choices are given
#   trials           what was fitted and read, oldest first; its rows have the roles fitted (a part for each place, of identity and
#                    measured) and readings
#   readings         for each pack that was read a group of method and readings
# In a result:
#   measured         the value that is held against the limits; the ruler shows it
#   uncertainty      half the width of the interval that the measured value may lie in
#   verdict          what the answer comes to: its words stand on top of the panel
#   certain          whether the verdict holds whatever the uncertainty
#   advice           the sentence below the verdict
#   even             whether the readings agree among themselves; if not, no part is chosen by them
#   fit              the identity of the row to be fitted
#   best first       a table whose first row is the one to take
#   dots             a table drawn as dots from left to right: its rows have the role measured
#   bars             a table drawn as bars: its rows have the roles from, to and share
#   sizes            a table of sizes, each of which takes in the gaps between the limits moved by its thickness
# In a row of either:
#   identity         its name, by which other fields refer to it
#   leads to         names of what a manual may have pages about; a panel puts links to these beside them
#   thickness        of a size or a part
#   count            of a part, how many of them there are
#   tolerance        of a size, how far off its thickness may be
#   stock            of a size, how many lie on the shelf
#   from, to, share  of a bar, its edges and how often a value falls between them
Role = Literal[
    "", "limits", "target", "gauge", "method", "reading", "plate count", "spread limit", "wave", "sizes", "fitted", "effect",
    "packs", "places", "number of answers", "measured", "uncertainty", "verdict", "certain", "advice", "even", "fit", "best first",
    "bars", "dots", "identity", "thickness", "tolerance", "stock", "trials", "readings", "from", "to", "share", "cavity", "measured parts",
    "count", "leads to",
]  # fmt: skip
