"""What should be said of trim: scarfs that nothing carries, mitres that cross, frames left out."""

from __future__ import annotations

from service.errors import Finding
from service.geometry.openings import Opening
from service.geometry.walls import mitre
from service.products.kinds.trim.records import Trim, TrimLength
from service.products.kinds.trim.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import agreeing, both, counted


def say_what_was_laid(task: Task, said: Remarks, trim: Trim) -> None:
    """Every finding that the lengths of a layer give."""
    _off_members(task, said, trim)
    _crossed(task, said, trim)


def say_over_layers(task: Task, said: Remarks) -> None:
    """A strip is let into what is laid after it; what was laid before it closes it (3.18)."""
    if task.ground.over:
        said.find(
            Finding(
                "strip-over-layers",
                task.at,
                "the strip is set in after other layers were laid, which run on behind it: put it "
                "before those that it is to be let into",
                rule="3.18",
            )
        )


def say_not_framed(task: Task, said: Remarks, opening: Opening) -> None:
    """A frame has four pieces, or three at an edge; an opening of another shape has none (17.3)."""
    why = (
        "has not three sides within the outline"
        if opening.crosses_edge
        else "has not four sides; a round one takes a ring that is bought as one"
    )
    said.find(
        Finding(
            "not-framed",
            f"{task.surface.id}.{opening.id}",
            f"it has no frame in {task.layer_id}: the opening {why}",
            rule="17.3",
        )
    )


def _off_members(task: Task, said: Remarks, trim: Trim) -> None:
    loose = [one for one in trim.lengths if not one.borne]
    if not loose:
        return
    count = sum(one.wanted.joints for one in loose)
    said.find(
        Finding(
            "scarf-off-member",
            f"{task.at}.{loose[0].number}",
            f"{counted(count, 'scarfs')} of {_named(loose)} cannot lie on a member with pieces of "
            f"{both(task.rules.min_piece)} or more: put a block or a stud behind each",
            rule="17.4",
        )
    )


def _named(lengths: list[TrimLength]) -> str:
    numbers = ", ".join(str(one.number) for one in lengths[:5])
    more = f" and {len(lengths) - 5} more" if len(lengths) > 5 else ""
    return f"length {numbers}{more}" if len(lengths) == 1 else f"lengths {numbers}{more}"


def _crossed(task: Task, said: Remarks, trim: Trim) -> None:
    """A wall so short between inside corners that nothing of its piece is left at the front."""
    crossed = []
    for one in trim.lengths:
        taken = sum(mitre(trim.wide, end.seam) for end in one.ends if end.seam > 0)
        if taken >= one.wall.length:
            crossed.append(one)
    if crossed:
        said.find(
            Finding(
                "mitres-cross",
                f"{task.at}.{crossed[0].number}",
                f"{_named(crossed)} {agreeing(len(crossed), 'is', 'are')} so short that the cuts "
                "at both ends cross: make a block of the corner, or a narrower moulding",
                rule="17.1",
                measure=min(one.wall.length for one in crossed),
            )
        )
