"""Joints near holes and steps: none nearer than is asked, but those that a finding counts (5.5)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from shapely.geometry import Polygon, box

from tests.independent.asked import Layer, rows
from tests.independent.measure import INCH, slack, ticks
from tests.independent.steps import NOTHING, steps

SAID = "joint-near-hole"
"""The finding that counts a layer's joints which could not be kept from holes and steps."""

Row = dict[str, Any]
Span = tuple[float, float]


def faults(layer: Layer, answer: Row) -> list[str]:
    """Joints too near that no finding counts, and counted ones that keep their distance."""
    said = sum(
        int(row["text"].split()[0])
        for row in answer["findings"]
        if row["code"] == SAID and row["at"] == ".".join(layer.key)
    )
    give = 2 * slack(layer.unit) + layer.rule("cut_to")
    surely, perhaps = near(layer, answer, give), near(layer, answer, -give)
    if len(surely) > said:
        return [f"{len(surely)} joints are too near, {said} are said to be: {surely}"]
    return [f"of {said} joints said to be near {perhaps} are"] if len(perhaps) < said else []


def near(layer: Layer, answer: Row, give: float) -> list[str]:
    """Joints nearer by more than `give` than asked to a hole or step in their course or beside."""
    courses = {
        row["course"]: tuple(sorted(ticks(row[key], layer.unit) for key in ("near", "far")))
        for row in rows(answer, "courses", layer)
    }
    holes = [_parts(layer.frame.moved(cut), courses, 2 * slack(layer.unit))
             for cut in layer.seen.cut]  # fmt: skip
    made = steps(layer, answer)
    run_of = {row["id"]: row["run"] for row in rows(answer, "pieces", layer)}
    found = []
    for row in rows(answer, "joints", layer):
        at, course = ticks(row["at"], layer.unit), row["course"]
        run = run_of[row["between"][0]]
        own = [parts[course] for parts in holes if course in parts]
        own += [(one.low, one.high, one.leg, 0.0) for one in made if one.run == run]
        beside = [
            end for parts in holes if course not in parts
            for other in (course - 1, course + 1) if other in parts for end in parts[other][:2]
        ]  # fmt: skip
        beside += [
            end for one in made if abs(one.course - course) == 1 for end in (one.low, one.high)
        ]
        spans = [span for part in own for span in _kept_off(layer, part, give)]
        for key, clear in (
            ("joint_from_hole", min((max(low - at, at - high) for low, high in spans),
                                    default=math.inf)),
            ("joint_beside_hole", min((abs(at - end) for end in beside), default=math.inf)),
        ):  # fmt: skip
            asked = layer.rule(key)
            if asked and clear < asked - give:
                found.append(f"{row['between']}: {key}, {clear}")
    return found


Part = tuple[float, float, float, float]
"""What a hole takes of a course: its low and high station, and what it leaves on either side."""


def _parts(hole: Polygon, courses: dict[int, Any], give: float) -> dict[int, Part]:
    """The part of a hole in each course that it cuts into."""
    low, _, high, _ = hole.bounds
    found = {}
    for course, (near_edge, far_edge) in courses.items():
        part = hole.intersection(box(low, near_edge + give, high, far_edge - give))
        if not part.is_empty:
            first, below, last, above = part.bounds
            found[course] = (first, last, below - near_edge, far_edge - above)
    return found


def _kept_off(layer: Layer, part: Part, give: float) -> Iterator[Span]:
    """All of a hole or short notch; of a long one that leaves a rip only its two ends.

    Where it is one or the other by less than `give`, it counts as what forbids less, or more.
    """
    low, high, *legs = part
    notch = min(legs) <= NOTHING + abs(give) < max(legs)
    if notch and high - low > layer.rule("long_hole") - give and max(legs) >= _rip(layer) - give:
        yield from ((low, low), (high, high))
    else:
        yield (low, high)


def _rip(layer: Layer) -> float:
    """The narrowest rip: as asked, and 1/2 in more than the groove is deep."""
    asked, product = layer.rule("min_rip"), layer.product
    if product["profile"] in ("square_edge", "lapped"):
        return asked
    plain = layer.overall - layer.coverage
    depth = ticks(product["groove_depth"], layer.unit) if "groove_depth" in product else plain
    return max(asked, depth + INCH // 2 if depth else 0)
