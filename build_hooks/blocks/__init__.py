"""The blocks an author may put into a page: one module for each, all of one shape.

A block is a body model (what may be written) and a function from body and context to an element.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from build_hooks.blocks.applied import AppliedBody, render_applied
from build_hooks.blocks.calc import CalcBody, render_calc
from build_hooks.blocks.calc_drum import measured_packs, set_by_parts
from build_hooks.blocks.context import Context, Trouble
from build_hooks.blocks.drawings import DrawingsBody, render_drawings
from build_hooks.blocks.exercise import ExerciseBody, render_exercise
from build_hooks.blocks.photo import PhotoBody, render_photo
from build_hooks.blocks.spec import SpecBody, render_spec
from build_hooks.blocks.stack import StackBody, render_stack
from build_hooks.blocks.supplies import KitBody, ToolsBody, render_kit, render_tools
from build_hooks.blocks.timer import TimerBody, render_timer
from build_hooks.blocks.tree import TreeBody, render_tree
from build_hooks.model import Keys
from calc_engine import Element

__all__ = ["BLOCKS", "Block", "Context", "Trouble", "measured_packs", "set_by_parts"]


@dataclass(frozen=True, slots=True)
class Block:
    """One kind of block.

    Attributes:
        body: the model of what is written in it.
        render: makes the element; raises `Trouble` at a key of the body.
    """

    body: type[Keys]
    render: Callable[[Any, Context], Element]


BLOCKS: Final[Mapping[str, Block]] = {
    "stack": Block(StackBody, render_stack),
    "calc": Block(CalcBody, render_calc),
    "spec": Block(SpecBody, render_spec),
    "kit": Block(KitBody, render_kit),
    "tools": Block(ToolsBody, render_tools),
    "timer": Block(TimerBody, render_timer),
    "applied": Block(AppliedBody, render_applied),
    "photo": Block(PhotoBody, render_photo),
    "drawings": Block(DrawingsBody, render_drawings),
    "tree": Block(TreeBody, render_tree),
    "exercise": Block(ExerciseBody, render_exercise),
}
