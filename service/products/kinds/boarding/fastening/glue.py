"""What is said of boards that are glued and pinned (18.3)."""

from __future__ import annotations

from service.errors import Finding
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks

_RUNS = frozenset({"pieces", "members"})
"""Beads of a layer that glue its boards."""


def say_glue(task: Task, said: Remarks) -> None:
    """That glue is not named where it is not; overhead, that the pins must carry the boards."""
    if not any(bead.along in _RUNS for bead in task.layer.beads or ()):
        said.find(
            Finding(
                "glue-not-named",
                task.at,
                "the boards are glued and pinned, and no glue is among the layer's `beads` (along "
                "`pieces` or `members`): the pins are counted, and no glue",
                rule="18.3",
            )
        )
    if task.surface.type in ("ceiling", "soffit"):
        said.find(
            Finding(
                "glue-overhead",
                task.at,
                "glue alone never carries boards overhead: the pins are counted as if there were "
                "none, and must hold by themselves",
                rule="18.3",
            )
        )
