"""Which way the boards run: the direction asked for, turned where the surface tapers."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import atan, degrees

from service.errors import Finding
from service.geometry.ends import NEARLY_ALONG
from service.geometry.frame import Frame, frame_of
from service.geometry.rings import Ring
from service.products.kinds.boarding.rulings import Task
from service.products.remarks import Remarks
from service.units.writing import both


def direction_of(task: Task) -> Fraction:
    """The direction asked for, facing the finished side, 0 up to 180 degrees."""
    return task.surface.facing(Fraction(task.layer.direction))


def turn_of(task: Task, outline: Ring, asked: Fraction, said: Remarks) -> Fraction:
    """Degrees by which the boards are turned to share out a taper over the limit (3.8)."""
    limit = task.rules.taper_over
    frame = frame_of(outline, asked)
    slopes = _edge_slopes(frame, outline)
    if slopes is None:
        return Fraction(0)
    low, high, length = slopes
    taper = round(abs(high - low) * length)
    if taper <= limit:
        return Fraction(0)
    turn = Fraction(round(degrees(atan((low + high) / 2)) * 10**6), 10**6)
    said.find(
        Finding(
            "taper",
            task.at,
            f"the two edges along the boards are out of parallel by {both(taper)}: the courses "
            f"are turned by {abs(float(turn)):.3f} degrees, so that each side takes half",
            rule="3.8",
            measure=taper,
            limit=limit,
        )
    )
    used = -turn if frame.left_handed else turn
    task.rules.note_turned(asked + used)
    return used


def _edge_slopes(frame: Frame, outline: Ring) -> tuple[float, float, int] | None:
    """Slopes (v over u) of the two edges along the boards, and the shorter one's length.

    None where either is under half as long as the surface: it is not a side to be split.
    """
    ring = [frame.to(point) for point in outline]
    edges = []
    for a, b in pairwise([*ring, ring[0]]):
        if a[0] != b[0] and abs((b[1] - a[1]) / (b[0] - a[0])) < NEARLY_ALONG:
            edges.append(((a[1] + b[1]), (b[1] - a[1]) / (b[0] - a[0]), abs(b[0] - a[0])))
    if len(edges) < 2:
        return None
    low, high = min(edges), max(edges)
    reach = max(u for u, _ in ring) - min(u for u, _ in ring)
    if min(low[2], high[2]) < reach // 2:
        return None
    if low[1] == 0 and high[1] == 0:
        return None
    return low[1], high[1], min(low[2], high[2])
