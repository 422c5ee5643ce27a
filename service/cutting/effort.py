"""How much work is done for a better plan: counted, never timed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

GAINS_IN_GAP = 20
"""How often what is worth cutting for anew goes into the gap at which a plan is good enough."""


@dataclass(frozen=True, slots=True)
class Effort:
    """Work limits: rounds of pricing, steps of a dive, nodes of a search, patterns in it.

    `states` limits the partly filled sticks of a listing of patterns, `beam` and `tries` the
    search for layouts, `arcs` the flow through them, `changes` the changes of the best one;
    `last_nodes` and `last_columns` are nodes and patterns of the search that cuts the chosen
    layout; `inner` allows searches inside a search. A plan is good enough where it is over its
    bound by no more than `stop_gap` of it. With `any_legal` nothing is searched where a plan is at
    hand that keeps all rules.
    """

    rounds: int
    dives: int
    nodes: int
    columns: int
    states: int
    beam: int
    tries: int
    arcs: int
    changes: int
    last_nodes: int
    last_columns: int
    inner: bool
    stop_gap: Fraction
    any_legal: bool = False

    @property
    def last(self) -> Effort:
        """The effort by which a layout that was chosen is cut."""
        return replace(self, nodes=self.last_nodes, columns=self.last_columns)

    def enough(self, bound: int) -> int:
        """The cost at which a plan is good enough, in the unit of its bound."""
        return bound + int(bound * self.stop_gap)

    def least_gain(self, cost: int) -> int:
        """What cutting the same pieces once more must save, to be worth its time."""
        return max(1, int(cost * self.stop_gap / GAINS_IN_GAP))


EFFORTS = {
    "quick": Effort(
        rounds=120, dives=4, nodes=0, columns=0, states=0,
        beam=2, tries=1, arcs=0, changes=0, last_nodes=0, last_columns=0,
        inner=False, stop_gap=Fraction(1, 500),
    ),
    "standard": Effort(
        rounds=120, dives=60, nodes=100, columns=1500, states=20_000,
        beam=6, tries=1, arcs=2500, changes=150, last_nodes=30, last_columns=300,
        inner=False, stop_gap=Fraction(1, 500),
    ),
    "thorough": Effort(
        rounds=1000, dives=400, nodes=5000, columns=5000, states=200_000,
        beam=12, tries=10, arcs=12_000, changes=1500, last_nodes=2000, last_columns=5000,
        inner=True, stop_gap=Fraction(0),
    ),
}  # fmt: skip

TRIAL = replace(EFFORTS["quick"], rounds=12, any_legal=True)
"""The least work that tells whether a plan can be made at all; of plans at hand any will do."""
