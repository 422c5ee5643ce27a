"""Joint lines of a layer behind, as the courses laid on it cross them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.geometry.frame import Frame
from service.geometry.rings import Line
from service.units.ticks import whole


@dataclass(frozen=True, slots=True)
class PanelJointLine:
    """One joint line in the stations of a layer, its lower end across the courses first."""

    low: tuple[int, int]
    high: tuple[int, int]

    def at(self, v: int) -> int | None:
        """The station along the courses at which the line crosses `v`; None where it does not."""
        if not self.low[1] <= v <= self.high[1]:
            return None
        rise = self.high[1] - self.low[1]
        return self.low[0] + whole((self.high[0] - self.low[0]) * (v - self.low[1]) / rise)


def seams_of(lines: Iterable[Line], frame: Frame) -> tuple[PanelJointLine, ...]:
    """`lines` of the surface as seams of a frame; those along the courses are left out.

    A line that rises by less than it runs along the courses is one that no course's end meets.
    """
    found = []
    for line in lines:
        a, b = sorted((frame.to(point) for point in line), key=lambda station: station[1])
        if b[1] - a[1] > abs(b[0] - a[0]):
            found.append(PanelJointLine(a, b))
    return tuple(found)


def crossed(seams: Iterable[PanelJointLine], v: int) -> tuple[int, ...]:
    """Ascending stations at which `seams` cross a course whose middle lies at `v`."""
    return tuple(sorted({at for at in (seam.at(v) for seam in seams) if at is not None}))
