"""What a kind of layer is: its shapes, and the functions that lay, supply, fasten and draw it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from service.errors import Basis, Finding, JsonValue, Relaxed, Ticks
from service.geometry.frame import Frame
from service.geometry.surface import Surface
from service.ledger.book import Ledger
from service.products.drawing import DrawnLayer
from service.products.ground import Ground, Offered
from service.products.laid_rows import AlternativeRow, CourseRow, OpeningRow
from service.products.rows import (
    ComparedRow,
    ConsumableRow,
    FastenerRow,
    JointRow,
    LedgerRow,
    LedgerShareRow,
    OrderRow,
    PieceRow,
    PlanRow,
    RuleCostRow,
    RunRow,
    SheetRow,
    StickRow,
)
from service.schemas.quantities import read_length


class RuleBook:
    """Rules of one layer: the nearest that was sent, or the kind's default.

    Remembers each value it gave, for the answer's basis.
    """

    def __init__(
        self,
        at: str,
        levels: Sequence[tuple[str, Any]],
        defaults: Mapping[str, Mapping[str, Any]],
        *,
        metric: bool = False,
    ) -> None:
        self.at = at
        self._metric = metric
        self._levels = levels
        self._defaults = defaults
        self._given: dict[str, Basis] = {}

    def get(self, key: str, default: str | None = None, fallback: int | None = None) -> Any:
        """The value of rule `key`: ticks, a word, a count or a Fraction.

        `default` names its default; `fallback` is the default's value where it depends on the
        product (the table then says `of` what).
        """
        entry = self._defaults[default or key]
        source, value = "default", None
        for level, rules in self._levels:
            value = getattr(rules, key, None)
            if value is not None:
                source = level
                break
        if value is None:
            value = default_value(entry, self._metric) if fallback is None else fallback
        self.note(entry["rule"], key, _shown(entry, value), source)
        return value

    def as_sent(self, key: str) -> JsonValue:
        """Rule `key` as the caller sent it at the nearest level; None where it was not sent."""
        entry = next(one for name, one in self._defaults.items() if one.get("key", name) == key)
        for _, rules in self._levels:
            value = getattr(rules, key, None)
            if value is not None:
                return _shown(entry, value)
        return None

    def sent(self, key: str) -> bool:
        """Whether the caller set rule `key` at any level."""
        return any(getattr(rules, key, None) is not None for _, rules in self._levels)

    def choose(self, rule: str, key: str, sent: Any, default: Any) -> Any:
        """A choice of the layer that is not a number: what was sent, or a default."""
        value = default if sent is None else sent
        shown = Ticks(value) if isinstance(value, int) and not isinstance(value, bool) else value
        self.note(rule, key, shown, "default" if sent is None else "layer")
        return value

    def note(self, rule: str, key: str, value: JsonValue, source: str) -> None:
        """Enter a value in the basis."""
        self._given[key] = Basis(self.at, rule, key, value, source)

    @property
    def basis(self) -> tuple[Basis, ...]:
        """Every value given so far, by key."""
        return tuple(self._given[key] for key in sorted(self._given))


def default_value(entry: Mapping[str, Any], metric: bool) -> int | str | Fraction:
    """A default as a rule has it: ticks for a length, a word, a count, or a Fraction.

    `metric` says that the job's unit is metric: some lengths have a default of their own there.
    """
    if metric and "metric" in entry:
        return read_length(entry["metric"])
    if "value" in entry:
        return 0 if entry["value"].startswith("0 ") else read_length(entry["value"])
    if "word" in entry:
        return str(entry["word"])
    if "count" in entry:
        return int(entry["count"])
    return Fraction(entry["number"])


def _shown(entry: Mapping[str, Any], value: Any) -> JsonValue:
    if "value" in entry or "of" in entry:
        return Ticks(value)
    if "word" in entry:
        return str(value)
    return float(value) if isinstance(value, Fraction) else int(value)


@dataclass(frozen=True, slots=True)
class Task:
    """One layer of one surface, ready to be laid.

    `layer` and `product` are the validated specs, `pointer` and `product_pointer` their places
    in the request, `products` all products by id with their pointers. `ground` is what it stands
    on.
    """

    surface: Surface
    layer: Any
    layer_id: str
    product: Any
    rules: RuleBook
    pointer: str
    product_pointer: str
    products: Mapping[str, tuple[Any, str]]
    relax: bool
    ground: Ground
    unit: str = "in"

    @property
    def at(self) -> str:
        """`surface.layer`, the place of its findings."""
        return f"{self.surface.id}.{self.layer_id}"


@dataclass(frozen=True, slots=True)
class Areas:
    """Twice the areas of one laid layer, square ticks.

    `region` is the surface less the gaps at its edges and openings; `installed` what the layer
    covers of it.
    """

    installed: int
    region: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidLayer:
    """A layer on its surface; `detail` is the kind's own.

    No stock is chosen yet, nor joints that are chosen with it. A kind may have weighed ways of
    laying by what each would take if the layer shared its product with none.

    Layers laid on it see what it has `offered`, and nothing else of it. Stations of its rows are
    those of `frame`; `openings` say what is cut in it for each opening of the surface.

    `direction` is the direction used, degrees facing the finished side: 0 up to 180, or
    a little below 0 where a taper turned it.
    """

    task: Task
    direction: Fraction
    frame: Frame
    areas: Areas
    openings: tuple[OpeningRow, ...]
    courses: tuple[CourseRow, ...]
    alternatives: tuple[AlternativeRow, ...]
    detail: Any
    offered: Offered


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A laid layer with its pieces, joints and runs, after stock was chosen for them.

    `consumables` are used by length beside the layer itself, as tape is; they are pooled by their
    own product and ordered once. `detail` is the kind's own.
    """

    laid: LaidLayer
    runs: tuple[RunRow, ...] = ()
    pieces: tuple[PieceRow, ...] = ()
    joints: tuple[JointRow, ...] = ()
    consumables: tuple[ConsumableRow, ...] = ()
    detail: Any = None


@dataclass(slots=True)
class Supplied:
    """One product with its stock: sticks or sheets, plan, order and ledger.

    `kind` is that of the first layer that wants it, `placed` are the layers that are laid of it.
    `booked` is all that is bought, in the unit of the ledger's measure, and
    `covers_half_square_ticks` twice the area that it would cover laid end to end, its laps taken
    off; 0 for what is not laid by area. `shares` is the ledger shared out to surfaces.
    """

    product: str
    form: str
    kind: str
    placed: tuple[Placed, ...]
    sticks: tuple[StickRow, ...] = ()
    sheets: tuple[SheetRow, ...] = ()
    plans: tuple[PlanRow, ...] = ()
    rule_costs: tuple[RuleCostRow, ...] = ()
    order: tuple[OrderRow, ...] = ()
    ledger: tuple[LedgerRow, ...] = ()
    shares: tuple[LedgerShareRow, ...] = ()
    booked: int = 0
    covers_half_square_ticks: int = 0
    compared: tuple[ComparedRow, ...] = ()
    relaxed: tuple[Relaxed, ...] = ()

    @property
    def layers(self) -> tuple[LaidLayer, ...]:
        """The layers that are laid of it."""
        return tuple(one.laid for one in self.placed)

    @property
    def pieces(self) -> tuple[PieceRow, ...]:
        """The pieces of all its layers."""
        return tuple(row for one in self.placed for row in one.pieces)


@dataclass(frozen=True, slots=True)
class Settings:
    """What the job asks of the search; `method` is of boards alone.

    `trial`: all that is asked is whether the rules can be kept, so that any plan will do.
    """

    objective: str | None
    effort: str
    relax: bool
    method: str = "together"
    trial: bool = False


Books = Mapping[str, Ledger]
"""The ledger of each product."""


@dataclass(slots=True)
class Said:
    """Findings and cautions, collected while a job is taken off."""

    findings: list[Finding] = field(default_factory=list)
    relaxed: list[Relaxed] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    not_computed: list[str] = field(default_factory=list)

    def find(self, finding: Finding) -> None:
        """Add a finding."""
        self.findings.append(finding)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of layer.

    `lay` places a layer on its surface; `needs` says what it wants of which products; `place` makes
    its pieces from its shares of their plans, one for each need, and enters them in the ledger of
    each product; `fasten` counts fasteners over the pieces; `draw` marks them on the surface's
    sheet; `broken` names the kind's own laws that they break, which no answer may. `named` says
    where in a layer products are named, and of what form of stock each must be.
    """

    name: str
    title: str
    layer: type
    rules: type
    named: Mapping[str, str]
    lay: Callable[[Task, Said], LaidLayer]
    needs: Callable[[LaidLayer], Sequence[Any]]
    place: Callable[[LaidLayer, Sequence[Any], Books, Said], Placed]
    fasten: Callable[[Placed, Said], tuple[FastenerRow, ...]]
    draw: Callable[[Placed, str], DrawnLayer]
    broken: Callable[[Placed], Sequence[str]]
    folder: Path
    cautions: tuple[str, ...] = ()
    not_computed: tuple[str, ...] = ()

    @property
    def defaults_path(self) -> Path:
        """The kind's table of defaults."""
        return self.folder / "tables" / "defaults.toml"
