"""Starters for a new unit and a new procedure: valid, commented, and written only where nothing stands yet."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

from build_hooks.library import Library
from build_hooks.model import Pack, Unit
from build_hooks.reading.ids import id_from
from build_hooks.reading.problems import did_you_mean, printable, quoted

__all__ = ["NotWrittenError", "new_procedure", "new_unit"]

_NAME: Final = re.compile(r"\w[\w ,.'()&/+:-]{0,79}")

# File names that Windows keeps for devices, whatever their ending. Source: "Naming Files, Paths, and Namespaces" in the
# documentation of the Windows API; from memory.
_NOT_ON_WINDOWS: Final = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(10))}
)


class NotWrittenError(Exception):
    """A starter was not written. The text says why and what to do."""


_UNIT: Final = """\
# The data of one unit. Check it with: python -m build_hooks check
# An editor can complete the keys: python -m build_hooks schema unit > unit.schema.json
# Ids (front-drum) are small letters, figures and hyphens. Every length has its unit.
name: {name}
about: "say in a few words what it is"
invented: true # every figure below is made up; say false when every one is yours
status: {{state: draft}} # when checked: {{state: approved, approved_by: name, approved_on: 2026-09-01}}

drums:
  front-drum: {{name: Front drum, grooves: [lower, upper]}} # from the piston end to the open end

parts:
  # kinds: friction steel wave backing reaction pressure snap-ring piston seal lip-seal
  #        return-spring retainer thrust-washer bearing shim hub
  forward-steel: {{name: Forward steel plate, kind: steel, thickness: 1.80 mm ± 0.03}}
  forward-friction: {{name: Forward friction plate, kind: friction, thickness: 1.70 mm ± 0.05, worn_below: 1.50 mm}}
  forward-backing: {{name: Forward backing plate, kind: backing, thickness: 4.00 mm ± 0.02}}
  # a part of several sizes is one part for each size
  forward-ring-a: {{name: "Forward ring, no dot", kind: snap-ring, thickness: 1.40 mm ± 0.02, mark: no paint dot}}
  forward-ring-b: {{name: "Forward ring, one dot", kind: snap-ring, thickness: 1.60 mm ± 0.02, mark: one paint dot}}

packs:
  forward:
    name: Forward pack
    drum: front-drum
    stack: # in the order it goes in
      - repeat: 4
        of: [forward-steel, forward-friction]
      - part: forward-backing
        side: chamfer up # either way, or a mark (chamfer dimple lip step tooth dish flat paint rounded edge) and up, down, in or out
        wrong: "say what happens when it goes in wrong"
      - part: forward-ring-a # the size to start with
        groove: upper
        hold: "Ring home in its groove all round?"
      - measure: "say what is read, and how" # where the pack is complete and can still be reached
    clearance:
      min: 0.90 mm
      max: 1.40 mm
      at: 4 positions
      method: dial # dial, feeler, depth or parts
      # gauge: bench-dial # an id from gauges in shop.yml
      source: made up, not to be used
      revision: "0"

selective: # the kits of parts that come in several sizes
  forward-ring:
    name: Forward ring
    choices: [forward-ring-a, forward-ring-b]
    tightens: [forward] # what a thicker one makes tighter; loosens: for what it makes looser
"""

_PAGE: Final = """\
---
title: {title}
unit: {unit_id}
status: {{state: draft}}
---

# {heading}

Say in a sentence what this job is, and when it is done.

!!! warning
    Say what can hurt somebody in this job, and how not to get hurt. A signal word stands before the step that it warns of.

## Before you start

List what has to be at hand.
{blocks}
## 1. Say what this part of the job does

1. Write one action in a step.
2. Begin with the verb.

    !!! hold
        Ask for the check that has to be made before going on?

!!! why
    Say what goes wrong otherwise, and what it costs.
"""

_SPEC: Final = """
## Limits

```spec
pack: {pack_id}
```
"""

_STACK: Final = """
## The stack

```stack
pack: {pack_id}
```
"""


def new_unit(docs: Path, name: str) -> Path:
    """Writes the starter of a unit's data.

    Args:
        docs: the docs folder.
        name: what the unit is called, or the id of its folder.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: the name cannot be used, or there is such a unit already.
    """
    unit_id = _id_of(name)
    shown = name if name != unit_id else name.replace("-", " ").capitalize()
    return _write(docs / "units" / unit_id / "unit.yml", _UNIT.format(name=_quoted_value(shown)))


def new_procedure(library: Library, unit_id: str, name: str) -> Path:
    """Writes the starter of a procedure's page.

    Args:
        library: the data of the docs folder.
        unit_id: the unit that the procedure is for.
        name: the title of the page.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: there is no such unit, its data is at fault, the name cannot be used, or the page is there already.
    """
    page_id = _id_of(name)
    unit = library.units.get(unit_id)
    if unit is None:
        raise NotWrittenError(_no_unit(library, unit_id))
    title = name if name != page_id else name.replace("-", " ").capitalize()
    text = _PAGE.format(title=_quoted_value(title), unit_id=unit.id, heading=f"{unit.name}: {title}", blocks=_blocks(unit))
    return _write(library.docs / "units" / unit.id / f"{page_id}.md", text)


def _no_unit(library: Library, unit_id: str) -> str:
    if unit_id in library.units_at_fault:
        return f"The data of {quoted(unit_id)} has problems. See them with: python -m build_hooks check"
    known = sorted({*library.units, *library.units_at_fault})
    near = did_you_mean(unit_id, known) or (
        f"Units here: {', '.join(known)}." if known else "Begin with: python -m build_hooks new unit NAME"
    )
    return f"There is no unit {quoted(unit_id)}. {near}"


def _blocks(unit: Unit) -> str:
    pack: Pack | None = next(iter(unit.packs.values()), None)
    if pack is None:
        return ""
    return (_SPEC.format(pack_id=pack.id) if pack.clearance else "") + _STACK.format(pack_id=pack.id)


def _id_of(name: str) -> str:
    made = id_from(name)
    if _NAME.fullmatch(name) is None or not made:
        raise NotWrittenError(
            f"{quoted(printable(name))} cannot be a name. Use letters, figures, spaces and hyphens, 80 at most."
        )
    if name != name.strip() or name.endswith("."):
        raise NotWrittenError(f"{quoted(printable(name))} cannot be a name. Leave out the space or full stop at its end.")
    if made in _NOT_ON_WINDOWS:
        raise NotWrittenError(
            f"{quoted(printable(name))} cannot be a name: Windows keeps it for a device. Add a word, for example “{name} 2”."
        )
    return made


def _quoted_value(text: str) -> str:
    """A text in double quotes; YAML reads it as JSON does."""
    return json.dumps(text, ensure_ascii=False)


def _write(path: Path, text: str) -> Path:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError as error:
        raise NotWrittenError(f"{path.as_posix()} is there already. Choose another name, or edit it.") from error
    except OSError as error:
        raise NotWrittenError(f"{path.as_posix()} cannot be written: {error.strerror}.") from error
    return path
