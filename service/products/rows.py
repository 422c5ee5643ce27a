"""The rows that kinds hand over; lengths in ticks. `service.schemas.answer` publishes them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.errors import JsonValue
from service.fastening.reach import Reach
from service.geometry.ends import End
from service.geometry.rings import Ring
from service.ledger.book import Measure
from service.order.lines import Bought


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow:
    """One connected part of a course; `gap` lies between its pieces, negative where they lap."""

    id: str
    surface: str
    layer: str
    course: int
    near: int
    far: int
    low: int
    high: int
    bearings: int
    pieces: int
    gap: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    """A notch or a hole in a piece: the box round it, in stations.

    It is cut for `openings`; none for a step of the outline.
    """

    effect: str
    openings: tuple[str, ...]
    near: int
    far: int
    low: int
    high: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceRow:
    """One placed piece. `rings` are its shape in stations, empty for a rectangle.

    `cut` is the length it is cut to, `twice_area` what it covers. `cut_width` is the width that a
    piece of a sheet is cut to; None where the course gives it. `stick` names its stick, sheet
    or roll. `cuts` say how its ends are cut, the low end first; an angle above 0 has the long
    point on the far edge. `region` is the part of the surface that it lies in, counted from 1.
    """

    id: str
    run: str
    surface: str
    layer: str
    product: str
    course: int
    near: int
    far: int
    low: int
    high: int
    cut: int
    ends: tuple[str, str]
    rip: str
    notches: int
    holes: int
    rings: tuple[Ring, ...]
    twice_area: int
    bearings: int
    stick: str
    cuts: tuple[End, End]
    cutouts: tuple[Cutout, ...] = ()
    cut_width: int | None = None
    region: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRow:
    """One end joint."""

    surface: str
    layer: str
    course: int
    between: tuple[str, str]
    at: int
    on: str
    bearing: int | None
    offset_before: int | None
    offset_after: int | None
    offset_repeat: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StickRow:
    """One bought stick or roll and what is cut from it, from its low end.

    `beside` are the pieces ripped from the same board as each of `pieces`; empty where none is.
    """

    stick: str
    product: str
    length: int
    pieces: tuple[str, ...]
    cuts: tuple[int, ...]
    kerfs: int
    kerf: int
    end_trim: int
    rest: int
    kept: bool
    beside: tuple[tuple[str, ...], ...] = ()

    @property
    def all_pieces(self) -> tuple[str, ...]:
        """Every piece that comes from it."""
        return (*self.pieces, *(name for names in self.beside for name in names))


Box = tuple[int, int, int, int]
"""Low corner along and across, then length and width."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One bought sheet and where its pieces lie in it.

    `boxes` are the pieces' places, in the order of `pieces`; `steps` the through-cuts in order,
    in words; `kept` and `waste` are the rests that are and are not worth keeping. `kerf` is twice
    the area that the cuts take, half square ticks.
    """

    sheet: str
    product: str
    length: int
    width: int
    pieces: tuple[str, ...]
    boxes: tuple[Box, ...]
    steps: tuple[str, ...]
    kerf: int
    kept: tuple[Box, ...]
    waste: tuple[Box, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsumableRow:
    """Something used by length in one place, as tape is; `loss` is a fraction of one."""

    surface: str
    layer: str
    product: str | None
    where: str
    length: int
    counted: str
    loss: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRow:
    """How good a cut plan is; `cost`, `bound` and `rests` are in `measured_in`, exact.

    `rests` is what kept rests count for; it is off the cost and the bound. `ordered` is what the
    lines of the order come to, None where joints are counted.
    """

    product: str
    objective: str
    cost: str | int
    bound: str | int
    measured_in: str
    gap_pct: float
    optimal: bool
    work: int
    in_words: str
    rests: str | int = 0
    ordered: str | int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleCostRow:
    """What a plan costs with one rule lowered, beside what it costs with all of them."""

    product: str
    rule: str
    key: str
    asked: JsonValue
    used: JsonValue
    cost: str | int
    saves: str | int
    measured_in: str
    saves_pct: float
    in_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerRow:
    """Fasteners of one kind in one place; `reach` where a product with lengths was named."""

    surface: str
    layer: str
    product: str | None
    where: str
    pattern: str
    place: str
    spacing: int | None
    count: int
    counted: str
    reach: Reach | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerRow:
    """One account of a product: `amount` in the unit of its `measure` (`service.ledger.book`).

    `width` turns an area into length of stock; None where that has no sense.
    """

    product: str
    account: str
    measure: Measure
    amount: int
    width: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerShareRow:
    """What of one account of a product falls to one surface; shares add up to the account."""

    surface: str
    product: str
    account: str
    measure: Measure
    amount: int
    width: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderShareRow:
    """What of one line of the order falls to one surface; shares add up to the line."""

    surface: str
    line: OrderRow
    buy: int
    price: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AsYouGo:
    """What cutting course by course would order: sticks of one length (ticks), and their price."""

    sticks: int
    stock: int
    cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedRow:
    """What a flat percentage orders, and cutting as you go, beside what is bought.

    `measured_in` is `length` (ticks), `sheets` or `rolls`; costs are None without prices.
    """

    product: str
    flat_pct: float
    would_order: int
    bought: int
    measured_in: str = "length"
    would_cost: float | None = None
    cost: float | None = None
    as_you_go: AsYouGo | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """One line of the order; `price` and `weight` for all of it, `width` of a sheet or roll.

    `weight` is in pounds, exact.
    """

    product: str
    form: str
    item: str
    length: int | None
    bought: Bought
    price: float | None
    weight: Fraction | None
    board_feet: float | None = None
    width: int | None = None
