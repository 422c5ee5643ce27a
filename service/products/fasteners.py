"""The fastener that a layer names: found among the products, and the length of it that holds."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from service.errors import Cure, Fault, Finding, Relaxed, Ticks, TradeRefused
from service.fastening.reach import needed_length, shortest
from service.products.kind import Said, Task
from service.units.ticks import SIXTEENTH, up
from service.units.writing import both


def named_fastener(task: Task, said: Said) -> tuple[Any, str] | None:
    """The fastener product and its place in the request; None with a finding if none was named."""
    named = task.layer.fastening.product if task.layer.fastening else None
    if named is None:
        said.find(
            Finding(
                "no-fastener",
                task.at,
                "no fastener product was named: counts only, no length and no boxes",
                rule="18.11",
            )
        )
        return None
    return task.products[named]


def holding_length(
    task: Task,
    named: tuple[Any, str],
    stack: tuple[int, int],
    lean: Fraction | None,
    needed: int,
    said: Said,
) -> int:
    """The shortest length of a fastener that holds `needed` (18.11).

    `stack` is the thickness of the layer and of what lies between it and what holds; `lean` is the
    blind nail's, None where only faces are driven. Where none of the lengths holds it is refused,
    or the longest is used if the caller relaxes.
    """
    spec, pointer = named
    found = shortest(spec.lengths, *stack, lean, needed)
    if found is not None:
        return found
    want = up(needed_length(*stack, lean, needed), 4 * SIXTEENTH)
    text = f"no length of {spec.id} holds the {both(needed)} asked for: {both(want)} would"
    longest: int = max(spec.lengths)
    if not task.relax:
        at = f"{pointer}/lengths"
        raise TradeRefused(
            Fault(
                "fastener-short",
                text,
                at,
                cure=Cure(f"{at}/-", Ticks(want)),
                rule="18.11",
                measure=longest,
                limit=want,
            )
        )
    said.relaxed.append(Relaxed("18.11", "length", Ticks(want), Ticks(longest), (task.at,)))
    said.find(Finding("fastener-short", task.at, text, rule="18.11", measure=longest, limit=want))
    return longest
