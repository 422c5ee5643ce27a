"""What of a layer is in view once it is up, for coats on its face (20.2)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from service.geometry.plane import intersection, union
from service.geometry.rings import twice_area
from service.products.layer import AnyPlaced
from service.schemas.stock import Stocked
from service.units.ticks import FOOT


def hidden_by_beams(placed: Sequence[AnyPlaced]) -> Mapping[str, int]:
    """By surface, twice the area that beams hide of the boards that run through over them.

    Nothing is laid on such a surface after its beams.
    """
    found: Counter[str] = Counter()
    for one in placed:
        found[one.laid.task.surface.id] += _bottoms(one)
    return found


def _bottoms(beams: AnyPlaced) -> int:
    """Twice what beams cover of boards that run through over them: their width over all."""
    wide = {one.beam: one.width for one in beams.beams if one.hidden}
    return 2 * sum(
        row.length * wide.get(row.beam, 0) for row in beams.beam_parts if row.part == "bottom"
    )


def _surface(one: AnyPlaced) -> str:
    return one.laid.task.surface.id


def face_in_view(one: AnyPlaced, over: Fraction, hidden: int = 0) -> tuple[int, str, bool]:
    """Twice the area in view of a layer, what was measured, and whether openings were deducted.

    Beams show their sides and bottoms, mouldings their width; what covers a surface shows all but
    its gaps and what beams hide, and openings of up to `over` square feet are not deducted.
    """
    if one.beam_parts:
        parts = (row.length * row.shows for row in one.beam_parts)
        return 2 * sum(parts), "sides and bottoms of beams", False
    if one.laid.along_edges:
        product = one.laid.task.product
        assert isinstance(product, Stocked), f"{product.id} is no trim"
        return 2 * product.laid_width * sum(row.cut for row in one.pieces), "length x width", False
    small = _small_openings(one, over)
    return max(0, one.laid.areas.installed + small - hidden), "area in view", True


def _small_openings(one: AnyPlaced, over: Fraction) -> int:
    """Twice the area of the openings, as they are cut, that are not deducted."""
    surface = one.laid.task.surface
    most = 2 * over * FOOT**2
    small = [each.cut for each in surface.openings if twice_area(each.drawn) <= most]
    return twice_area(intersection(union(small), surface.parts)) if small else 0
