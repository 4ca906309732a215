"""Steps whose numbers are not those that will be shown.

The idea: IEC/IEEE 82079-1, instructions for use: steps that are referred to by number must be found by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from build_hooks.plain_writing.scanner import Block, Kind
from build_hooks.reading.problems import Fault

__all__ = ["misnumbered_steps"]


def misnumbered_steps(page: Sequence[Block]) -> Iterator[Fault]:
    """Steps that a reader sees under another number than their author wrote.

    Args:
        page: its blocks.

    Returns:
        A fault for the first such step of each list. A list of nothing but 1 counts by itself, as Markdown lets it.
    """
    lists: dict[int, list[Block]] = {}
    for block in page:
        if block.kind is Kind.STEP:
            lists.setdefault(block.list_number, []).append(block)
    for steps in lists.values():
        written = [int(step.name) for step in steps]
        if set(written) == {1}:
            continue
        for step, number, shown in zip(steps, written, range(written[0], written[0] + len(written)), strict=True):
            if number != shown:
                message = f"This step is written as {number} and shown as {shown}."
                yield Fault(step.mark, "step-number", message, "Number the steps of a list one after the other.")
                break
