"""What a layer can want of a sheet, and its share of the plan that is made for all of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from service.cutting.sheets.nesting import Part, SheetPlan, SheetStock
from service.cutting.sheets.ways import Jointing
from service.layout.panel_runs import Arranged, Joints, PanelRules, PanelRun
from service.products.form import Need as NeedOf
from service.products.goods.sheet.rulings import Task

Edge: TypeAlias = Literal["near", "far"]
"""A long edge of a sheet as it lies in its row, seen from where rows start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """The rows of a layer: what joints of them must keep, and the joints that they have."""

    runs: tuple[PanelRun, ...]
    rules: PanelRules
    arranged: Arranged


@dataclass(frozen=True, slots=True, kw_only=True)
class Together:
    """What was found when all layers of a product, or one alone, were jointed with its stock.

    `plan` holds the parts of all of them with the joints that were chosen, sawn from these
    `stocks`; `least` is what they must cost at least however their rows are jointed.
    """

    stocks: tuple[SheetStock, ...]
    plan: SheetPlan
    least: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetJoints:
    """The joints chosen for the rows of one layer, run by run; `near` lie near a corner."""

    joints: tuple[Joints, ...]
    near: int
    together: Together


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheeting:
    """The part that is sawn for each piece, by the piece's id.

    `ways` are all ways in which the rows could be jointed, in the order of the runs of `rows`;
    where they are not known `bare` is the area that the pieces cover at least (square ticks), and
    there are no `rows`. By `trim` an edge of each sheet that they are sawn from is ripped off
    first. `whole`: no piece of them could be jointed otherwise. `together` is there once the
    joints are those chosen with the stock. `keeps` says which edge of the mill's pieces have that
    were ripped along the other; those that keep the far one come beside the last pieces of the
    surface `after` which they lie, if there is one (12.4).
    """

    parts: Mapping[str, Part]
    ways: tuple[Jointing, ...] = ()
    bare: int = 0
    whole: bool = False
    trim: int = 0
    keeps: Mapping[str, Edge] = field(default_factory=dict)
    after: str | None = None
    rows: Rows | None = None
    together: Together | None = None


@dataclass(frozen=True, slots=True)
class SheetShare:
    """What one need gets: the sheet of each piece by its id, and the part sawn for it."""

    where: Mapping[str, tuple[str, Part]]


Need = NeedOf[Task, Sheeting, SheetShare]
"""What a layer wants of a sheet."""
