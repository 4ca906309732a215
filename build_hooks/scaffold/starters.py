"""The texts that a new manual, unit or page begins with.

What is to be written anew stands between ‹ and ›. The marks are taken out when a starter is written; the sentences between them
are known from here, so that `check` finds those that were left as they are.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from calc_engine import System

__all__ = [
    "CALCULATION", "CLEARANCE", "DRUM", "FIGURES", "IGNORED", "INDEX", "MANUAL", "PACK", "PACK_PARTS", "PAGE", "PATH", "PLACEHOLDERS", "SHOP",
    "SPEC", "STACK", "STANDARDS", "UNIT", "written",
]  # fmt: skip

_TO_WRITE: Final = re.compile("‹(.+?)›")

FIGURES: Final[Mapping[System, Mapping[str, str]]] = {
    "metric": {
        "steel": "1.80 mm ± 0.03",
        "friction": "1.70 mm ± 0.05",
        "worn": "1.50 mm",
        "backing": "4.00 mm ± 0.02",
        "ring_a": "1.40 mm ± 0.02",
        "ring_b": "1.60 mm ± 0.02",
        "min": "0.90 mm",
        "max": "1.40 mm",
        "resolution": "0.01 mm",
        "max_error": "0.02 mm",
        "bore": "25.43 mm",
        "shaft": "24.30 mm",
        "largest": "300 mm",
    },
    "inch": {
        "steel": "0.071 in ± 0.001",
        "friction": "0.067 in ± 0.002",
        "worn": "0.059 in",
        "backing": "0.157 in ± 0.001",
        "ring_a": "0.055 in ± 0.001",
        "ring_b": "0.063 in ± 0.001",
        "min": "0.035 in",
        "max": "0.055 in",
        "resolution": "0.001 in",
        "max_error": "0.001 in",
        "bore": "1.000 in",
        "shaft": "0.956 in",
        "largest": "12 in",
    },
}
"""Made-up figures for a starter, in the units that the shop reads in."""

MANUAL: Final = """\
# The manual itself: its name, its look and its menu. “benchleaf serve” shows it while you write, “benchleaf build” makes the site.
site_name: {name}
# Where the shop's own server answers. With it, paper and screens get a code that opens the page on a phone.
# site_url: http://manual.local:8000/
docs_dir: docs

theme:
  name: material
  language: en # of the theme's own words
  font: false # no font is fetched from anywhere
  features: [navigation.indexes, navigation.top]

plugins: [benchleaf]

markdown_extensions:
  - toc: {{permalink: true}}

# Without a menu here, it follows the folders. With one, each page is named once:
# nav:
#   - Start: index.md
#   - Shop standards: standards/index.md
"""

IGNORED: Final = """\
# Made by benchleaf, and made anew at any time
/site/
/folder/
/folder.zip
/.cache/
"""

SHOP: Final = """\
{schema}# The shop: who you are and what you measure with. Check it with: benchleaf check
name: {name}
units: {units} # metric or inch: what the shop reads in

gauges: # by their ids; the limits of a pack say which one it is measured with
  bench-dial:
    name: Bench dial indicator
    kind: dial # dial, feeler, depth, micrometer, wrench or pressure
    resolution: {resolution} # the smallest step that it shows
    max_error: {max_error} # from its maker's paper, or your last check of it
    note: "‹say where it is kept, and what to check before it is used›"

# What else may stand here: tools, consumables, waits, screens, seniors, words, jobs. An editor completes the keys of each.
# words: # a page explains them where it uses them
#   end play: {{meaning: How far a shaft moves along its own axis.}}
"""

INDEX: Final = """\
---
title: {title}
status: {{state: draft}}
---

# {heading}

‹Say whom this manual is for, and what they read first.›

!!! warning
    ‹Say what hurts people in this shop, and how not to get hurt.›

- [Shop standards](standards/index.md): how we do what every unit needs.
"""

STANDARDS: Final = """\
---
title: Shop standards
status: {state: draft}
---

# Shop standards

‹Say what each standard is for. Each has a page of its own in this folder.›

A procedure names the standard. The standard shows how.
"""

UNIT: Final = """\
{schema}# The data of one unit. Check it with: benchleaf check
# Ids (front-drum) are small letters, figures and hyphens. Every length has its unit.
name: {name}
about: "‹say in a few words what it is›"
invented: true # every figure below is made up; say false when every one is yours
status: {{state: draft}} # when checked: {{state: approved, approved_by: name, approved_on: 2026-09-01}}

drums:
  front-drum: {{name: Front drum, grooves: [lower, upper]}} # from the piston end to the open end

parts:
  # kinds: friction steel wave backing reaction pressure snap-ring piston seal lip-seal
  #        return-spring retainer thrust-washer bearing shim hub
  forward-steel: {{name: Forward steel plate, kind: steel, thickness: {steel}}}
  forward-friction: {{name: Forward friction plate, kind: friction, thickness: {friction}, worn_below: {worn}}}
  forward-backing: {{name: Forward backing plate, kind: backing, thickness: {backing}}}
  # a part of several sizes is one part for each size
  forward-ring-a: {{name: "Forward ring, no dot", kind: snap-ring, thickness: {ring_a}, mark: no paint dot}}
  forward-ring-b: {{name: "Forward ring, one dot", kind: snap-ring, thickness: {ring_b}, mark: one paint dot}}

packs:
  forward:
    name: Forward pack
    drum: front-drum
    stack: # in the order it goes in
      - repeat: 4
        of: [forward-steel, forward-friction]
      - part: forward-backing
        side: chamfer up # either way, or a mark (chamfer dimple lip step tooth dish flat paint rounded edge) and up, down, in or out
        wrong: "‹say what happens when it goes in wrong›"
      - part: forward-ring-a # the size to start with
        groove: upper
        hold: "Ring home in its groove all round?"
      - measure: "‹say what is read, and how›" # where the pack is complete and can still be reached
    clearance:
      min: {min}
      max: {max}
      at: 4 positions
      method: dial # dial, feeler, depth or parts
      # gauge: bench-dial # an id from gauges in shop.yml
      source: ‹made up, not to be used›
      revision: "0"

selective: # the kits of parts that come in several sizes
  forward-ring:
    name: Forward ring
    choices: [forward-ring-a, forward-ring-b]
    tightens: [forward] # what a thicker one makes tighter; loosens: for what it makes looser
"""

DRUM: Final = """\
{id}:
  name: {name}
  grooves: [lower, upper] # ring grooves, from the piston end to the open end; take the line out if there are none
"""

PACK_PARTS: Final = """\
{id}-steel: {{name: {steel_name}, kind: steel, thickness: {steel}}} # made up, like every figure of this pack
{id}-friction: {{name: {friction_name}, kind: friction, thickness: {friction}, worn_below: {worn}}}
{id}-backing: {{name: {backing_name}, kind: backing, thickness: {backing}}}
{id}-ring: {{name: {ring_name}, kind: snap-ring, thickness: {ring_a}}}
"""

PACK: Final = """\
{id}:
  name: {name}
{drum}  stack: # in the order it goes in
    - repeat: 4
      of: [{id}-steel, {id}-friction]
    - part: {id}-backing
      side: chamfer up # either way, or a mark (chamfer dimple lip step tooth dish flat paint rounded edge) and up, down, in or out
      wrong: "‹say what happens when it goes in wrong›"
    - part: {id}-ring
{groove}      hold: "Ring home in its groove all round?"
    - measure: "‹say what is read, and how›" # where the pack is complete and can still be reached
  clearance:
    min: {min}
    max: {max}
    at: 4 positions
    method: dial # dial, feeler, depth or parts
    source: ‹made up, not to be used›
    revision: "0"
"""

PAGE: Final = """\
---
title: {title}
unit: {unit_id}
status: {{state: draft}}
---

# {heading}

‹Say in a sentence what this job is, and when it is done.›

!!! warning
    ‹Say what can hurt somebody in this job, and how not to get hurt.› A signal word stands before the step that it warns of.

## Before you start

‹List what has to be at hand.›
{blocks}
## 1. ‹Say what this part of the job does›

1. ‹Write the first action of this job here, and only one.›
2. ‹Begin each step like these two, with its verb.›

    !!! hold
        ‹Ask for the check that has to be made before going on?›

!!! why
    ‹Say what goes wrong otherwise, and what it costs.›
"""

SPEC: Final = """
## Limits

```spec
pack: {pack_id}
```
"""

CLEARANCE: Final = """
## The clearance

```calc
calculation: pack-clearance
pack: {pack_id}
```
"""

STACK: Final = """
## The stack

```stack
pack: {pack_id}
```
"""

PATH: Final = """\
{schema}# A learning path: what a new starter reads, practises and does, in order. Check it with: benchleaf check
name: {name}
about: "‹say whom it is for, and what they can do at its end›"
status: {{state: draft}}
edition: A # the next is B, with an entry in changes
# needs: [another-path] # paths to be finished first
steps: # each with an id that is never used again for another step
  - {{id: read-{first}, page: {page}}}
  # - {{id: order-forward, practice: {{kind: order, unit: the-unit, pack: the-pack, count: 5}}}}
  # - {{id: build-forward, task: Build the pack., standard: {page}, seen_by: senior}} # needs seniors in shop.yml
"""

CALCULATION: Final = '''\
"""‹Say what this calculation works out.›

This file is run when the manual is checked and built, and in every page that calculates with it. Each length arrives in millimetres
as an exact fraction, whatever unit it was typed in, and is given back so.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

# All that a calculation may use of the engine. Of Python itself it may import dataclasses, fractions, itertools and a few more.
from calc_engine.declaring import Answer, AnswerUnits, Calculation, Limits, Option, Source, choice, group, judge, length, text


@dataclass(frozen=True, slots=True)
class Request:
    """What is typed in: an entry of the form for each field, with its label, its help and what makes sense."""

    bore: Fraction = length("‹Label of the first length›", "‹How and where it is measured.›", above="0 mm", most="{largest}")
    shaft: Fraction = length("‹Label of the second length›", "‹How and where that is measured.›", above="0 mm", most="{largest}")
    limits: Limits = group(Limits, "Limits", "From the maker's manual.", role="limits")


# The words on top of the answer.
VERDICTS = (Option("in", "within the limits"), Option("low", "too small"), Option("high", "too large"))


@dataclass(frozen=True, slots=True)
class Result:
    """What comes out. A role says what a field is to the page: the verdict, the sentence below it, the value that the ruler shows."""

    verdict: str = choice("Verdict", "Where the difference lies.", VERDICTS, role="verdict")
    advice: str = text("Advice", "What to do.", role="advice")
    difference: Fraction = length("Difference", "First length less second.", role="measured")


ADVICE = {{
    "in": "‹Say what to do when it is within the limits.›",
    "low": "‹Say what to do when it is too small.›",
    "high": "‹Say what to do when it is too large.›",
}}


def work_out(request: Request, units: AnswerUnits) -> Answer[Result]:
    """The arithmetic. The working shows it as on a bench sheet, in the units of whoever asks."""
    difference = request.bore - request.shaft
    verdict = judge(difference, request.limits)
    working = (f"difference = {{units.number(request.bore)}} - {{units.number(request.shaft)}} {{units.equals(difference)}}",)
    return Answer(Result(verdict=verdict, advice=ADVICE[verdict], difference=difference), working)


CALCULATION = Calculation(
    name="{id}",  # as the file is called, with hyphens
    title={title},
    about="‹Say in a sentence when it is used.›",
    request=Request,
    result=Result,
    compute=work_out,
    formulas=("d = b - s",),  # LaTeX
    sources=(Source("‹Standard, handbook or shop rule›", "‹clause or page›", "common practice, no source"),),
    # A request that works: the page shows it answered, and the engine proves itself by it.
    example={{"bore": "{bore}", "shaft": "{shaft}", "limits": {{"min": "{min}", "max": "{max}"}}}},
)
'''

PLACEHOLDERS: Final = frozenset(
    sentence
    for starter in (SHOP, INDEX, STANDARDS, UNIT, PACK, PAGE, PATH, CALCULATION)
    for sentence in _TO_WRITE.findall(starter)
)
"""Every sentence of a starter that whoever writes the manual is to replace."""


def written(starter: str, **facts: str) -> str:
    """A starter as it goes into its file.

    Args:
        starter: one of this module.
        facts: what it leaves open, as it is written there.
    """
    return _TO_WRITE.sub(r"\1", starter.format(**facts) if facts else starter)
