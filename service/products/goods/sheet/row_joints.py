"""The rows of one layer jointed at prices of the parts, neighbours staggered (11.5)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.cutting.sheets.nesting import Part
from service.cutting.sheets.ways import Jointing, Way, cheapest_ways
from service.layout.panel_runs import Joints
from service.layout.panels import joints_before, keeps_apart
from service.products.goods.sheet.needs import Rows

MOST_WAYS = 60
"""Ways of one run, the cheapest at the prices: enough that one is apart from most neighbours."""


@dataclass(frozen=True, slots=True)
class RowJoints:
    """Joints of every run of a layer, and the parts they leave; `near` of them lie near corners."""

    joints: tuple[Joints, ...]
    near: int
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, order=True)
class _Begun:
    """The runs so far: joints near corners, worth at the prices, and how many joints."""

    near: int
    worth: int
    many: int
    joints: tuple[Joints, ...]
    parts: tuple[Part, ...]

    def with_run(self, way: Way, joints: Joints) -> _Begun:
        """These runs and one more."""
        return _Begun(
            self.near + way.near,
            self.worth + way.worth,
            self.many + way.many,
            (*self.joints, joints),
            self.parts + way.parts,
        )


def cheapest(
    rows: Rows, ways: Sequence[Jointing], prices: Mapping[Part, int], toll: int
) -> RowJoints | None:
    """The jointing with the fewest joints near corners, then of the least worth.

    Worth is that of the parts at `prices` and a `toll` for each joint. Run by run: each way of a
    run goes on from the best of those before that lie apart from it. None where that leaves no
    way, or more joints near corners than the rows have.
    """
    begun = [_Begun(0, 0, 0, (), ())]
    for run, own in zip(rows.runs, ways, strict=True):
        shut = {k + 1 for k, at in enumerate(run.stations) if at in run.shut}
        before = [(one, joints_before(rows.runs, one.joints)) for one in begun]
        found = []
        for way in cheapest_ways(own, prices, toll, shut, MOST_WAYS):
            joints = tuple(run.stations[node - 1] for node in way.joints)
            one = _best_apart(before, joints, rows.rules.stagger)
            if one is not None:
                found.append(one.with_run(way, joints))
        begun = sorted(found)
    if not begun or begun[0].near > rows.arranged.near:
        return None
    return RowJoints(begun[0].joints, begun[0].near, tuple(sorted(begun[0].parts)))


def _best_apart(
    before: Sequence[tuple[_Begun, Sequence[int]]], joints: Joints, stagger: int
) -> _Begun | None:
    """The best of the runs so far that lie apart from joints of the next; None where none does."""
    apart = (one for one, beside in before if keeps_apart(joints, beside, stagger))
    return next(apart, None)
