"""The moisture of a job: its boards by product, its air by surface, and the wood behind."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

from service.products.layer import AnyLaid
from service.products.moving import Moving
from service.takeoff.moisture.checking import Case
from service.takeoff.moisture.rulings import MoistureRulings
from service.takeoff.moisture.wood import Boards, Season, Wood


@dataclass(frozen=True, slots=True)
class BoardWood:
    """What boards of a product are of, as in `Boards`, and the place where that was sent."""

    coefficient: Fraction
    coefficient_of: str
    shrinkage: Fraction | None
    wood: Wood
    pointer: str

    def laid(self, moving: Moving) -> Boards:
        """The same beside each other, as a layer has them."""
        return Boards(
            coefficient=self.coefficient,
            coefficient_of=self.coefficient_of,
            shrinkage=self.shrinkage,
            wood=self.wood,
            coverage=moving.coverage,
            over=moving.over,
            tongue=moving.tongue,
            spacer=moving.spacer,
            gap=moving.gap,
        )


What = TypeVar("What")


@dataclass(frozen=True, slots=True)
class OnSurfaces(Generic[What]):
    """What is so on some surfaces; on all where `names` is None."""

    what: What
    names: frozenset[str] | None

    def holds_on(self, surface: str) -> bool:
        """Whether it is so on that surface."""
        return self.names is None or surface in self.names


def on_surface(every: Sequence[OnSurfaces[What]], surface: str) -> tuple[What, ...]:
    """What is so on a surface, in the order in which it was sent."""
    return tuple(one.what for one in every if one.holds_on(surface))


@dataclass(frozen=True, slots=True)
class JobWood:
    """The moisture of a job.

    `rules` gives what a layer is judged by, by its place. `unsettled` are places of layers that ask
    for other room after as many passes as are made.
    """

    air: Sequence[OnSurfaces[Season]]
    boards: Mapping[str, BoardWood]
    framing: Sequence[OnSurfaces[Wood]]
    rules: Callable[[str], MoistureRulings]
    unsettled: frozenset[str] = frozenset()

    def case(self, layer: AnyLaid) -> Case | None:
        """The boards of a layer in their air; None of one of which nothing was sent."""
        task, moving = layer.task, layer.moving
        boards = self.boards.get(task.product.id)
        seasons = on_surface(self.air, task.surface.id)
        if moving is None or boards is None or not seasons:
            return None
        behind = next(iter(on_surface(self.framing, task.surface.id)), None)
        return Case(boards.laid(moving), seasons, behind, self.rules(task.at))
