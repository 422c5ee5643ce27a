"""Every table of the answer, in its order: its record, and where a takeoff has its rows."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from itertools import chain
from operator import attrgetter
from typing import Any, Final

from service.errors import Finding
from service.products.backing_rows import BackingRow
from service.products.beam_rows import BayRow, BeamPartRow, BeamRow
from service.products.bought_rows import (
    ChoiceRow,
    CutPlanRow,
    LedgerRow,
    LedgerShareRow,
    OrderRow,
    OrderShareRow,
    OwnedRow,
    RuleCostRow,
)
from service.products.certificate_rows import CertificateRow, not_certified
from service.products.compared import ComparedRow
from service.products.cut_rows import SheetRow, StickRow
from service.products.labour_rows import DeliveryRow, LabourRow, LabourTotalRow
from service.products.laid_rows import (
    AlternativeRow,
    CourseRow,
    LayerRow,
    MemberRow,
    OpeningRow,
    RegionRow,
    SurfaceRow,
)
from service.products.liquid_rows import LiquidRow
from service.products.rows import ConsumableRow, FastenerRow, JointRow, PieceRow, RunRow
from service.products.shim_rows import ShimRow
from service.products.tally_rows import TallyRow
from service.products.trace_rows import TraceRow
from service.products.trim_rows import TrimRow, TrimTotalRow
from service.report.patches import cure_rows
from service.report.scale import scale_of
from service.report.tables.laid import layers, regions, surfaces
from service.report.tables.summary import products, summary
from service.report.tables.table import Table
from service.report.tables.told_rows import (
    BasisRow,
    FindingRow,
    ProductRow,
    RelaxedRow,
    Summary,
)
from service.takeoff.cautions import CautionRow
from service.takeoff.inspecting.rows import InspectionRow
from service.takeoff.moisture.job_rows import LayerCheckRow, LayerMoistureRow
from service.takeoff.pipeline import Takeoff
from service.units.writing import in_system


def _of(each: str, name: str) -> Callable[[Takeoff], Iterable[Any]]:
    """The rows called `name` of each of a takeoff's parts: `laid`, `placed` or `supplied`."""
    rows = attrgetter(name)
    return lambda takeoff: chain.from_iterable(map(rows, getattr(takeoff, each)))


def _order(takeoff: Takeoff) -> Iterable[OrderRow]:
    return chain(_of("supplied", "order")(takeoff), takeoff.bought.lines)


def _certificates(takeoff: Takeoff) -> Iterable[CertificateRow]:
    """A row for each plan, where they were asked for: of what is not boards, that there is none."""
    for made in takeoff.supplied if takeoff.job.settings.certificate else ():
        yield from made.certificates or (not_certified(one, NO_BOARDS) for one in made.plans)


NO_BOARDS: Final = "only boards that are laid in courses have one"


def _owned(takeoff: Takeoff) -> Iterable[OwnedRow]:
    return chain(_of("supplied", "owned")(takeoff), takeoff.bought.owned)


def _ledger(takeoff: Takeoff) -> Iterable[LedgerRow]:
    return chain(_of("supplied", "ledger")(takeoff), takeoff.bought.books.rows)


def _ledger_shares(takeoff: Takeoff) -> Iterable[LedgerShareRow]:
    return chain(_of("supplied", "shares")(takeoff), takeoff.bought.books.shares)


def _findings(takeoff: Takeoff) -> Iterable[FindingRow]:
    """Each finding, with its cure as a patch of what was asked."""
    write = scale_of(takeoff.job.unit).exactly
    supports = {row.surface: row.support for row in surfaces(takeoff)}
    for one in takeoff.findings:
        yield FindingRow(
            code=one.code,
            at=one.at,
            text=_worded(one, supports, takeoff.job.unit),
            rule=one.rule,
            measure=one.measure,
            limit=one.limit,
            cure=cure_rows(takeoff.job.asked, one.cure, write),
        )


def _worded(one: Finding, supports: Mapping[str, str], unit: str) -> str:
    """A finding's sentence in one system of lengths, its members called as those of its surface."""
    name = supports.get(one.at.partition(".")[0], "member")
    return re.sub(r"\bmember(?=s?\b)", name, in_system(one.text, unit))


def _relaxed(takeoff: Takeoff) -> Iterable[RelaxedRow]:
    for one in takeoff.relaxed:
        yield RelaxedRow(
            rule=one.rule, key=one.key, asked=one.asked, used=one.used, places=one.places
        )


def _basis(takeoff: Takeoff) -> Iterable[BasisRow]:
    for one in takeoff.basis:
        yield BasisRow(at=one.at, rule=one.rule, key=one.key, value=one.value, source=one.source)


ORDER_TOTALS: Final = ("price", "weight", "board_feet")

TABLES: Final[tuple[Table[Takeoff], ...]] = (
    Table("summary", Summary, lambda takeoff: (summary(takeoff),)),
    Table("surfaces", SurfaceRow, surfaces, totals=("gross", "openings", "net")),
    Table("layers", LayerRow, layers),
    Table("regions", RegionRow, regions),
    Table("members", MemberRow, attrgetter("members")),
    Table("openings", OpeningRow, _of("laid", "openings")),
    Table("products", ProductRow, products),
    Table("alternatives", AlternativeRow, _of("laid", "alternatives")),
    Table("courses", CourseRow, _of("laid", "courses")),
    Table(
        "beams",
        BeamRow,
        _of("placed", "beams"),
        "Beams of layers of that kind, wall to wall; their parts are in `beam_parts`.",
    ),
    Table("bays", BayRow, _of("placed", "bays"), "What is clear between beams and walls."),
    Table(
        "beam_parts",
        BeamPartRow,
        _of("placed", "beam_parts"),
        "Sides, bottoms and cores of beams, as long and as wide as they are cut.",
    ),
    Table("runs", RunRow, _of("placed", "runs")),
    Table("pieces", PieceRow, _of("placed", "pieces")),
    Table("joints", JointRow, _of("placed", "joints")),
    Table(
        "trim_lengths",
        TrimRow,
        _of("placed", "trim_lengths"),
        "Mouldings, frames and corner boards: each length from corner to corner.",
    ),
    Table("trim_totals", TrimTotalRow, _of("placed", "trim_totals")),
    Table("sticks", StickRow, _of("supplied", "sticks")),
    Table("sheets", SheetRow, _of("supplied", "sheets")),
    Table("cut_plans", CutPlanRow, _of("supplied", "plans")),
    Table(
        "rule_costs",
        RuleCostRow,
        _of("supplied", "rule_costs"),
        "What the rules cost, the dearest first; with `effort` thorough only.",
    ),
    Table(
        "shims",
        ShimRow,
        attrgetter("shims"),
        "Shims on the members, where it was read how they lie (`flatness`).",
    ),
    Table(
        "backing",
        BackingRow,
        attrgetter("backing"),
        "What must stand behind the layers where `backing` is counted: never computed.",
    ),
    Table(
        "choices",
        ChoiceRow,
        _of("supplied", "choices"),
        "Plans for each board side by side, where `choices` asked for them.",
    ),
    Table(
        "certificates",
        CertificateRow,
        _certificates,
        "What proves the bound of each plan. Only where `certificate` asked for it has the answer "
        "this member at all.",
    ),
    Table("fasteners", FastenerRow, attrgetter("fasteners"), totals=("count",)),
    Table(
        "liquids",
        LiquidRow,
        attrgetter("liquids"),
        "Coats, sealant and glue: what is covered or filled, and how much that takes.",
    ),
    Table("consumables", ConsumableRow, attrgetter("consumables")),
    Table("order", OrderRow, _order, totals=ORDER_TOTALS),
    Table(
        "owned",
        OwnedRow,
        _owned,
        "What the caller has already (`owned` of a product), and how much of it is used.",
    ),
    Table("ledger", LedgerRow, _ledger),
    Table("ledger_shares", LedgerShareRow, _ledger_shares),
    Table("order_shares", OrderShareRow, attrgetter("bought.shares"), totals=("price",)),
    Table(
        "random_lengths",
        TallyRow,
        attrgetter("bought.tallies"),
        "What boards with a `tally` would take in random lengths, beside the plan from `stock`.",
    ),
    Table(
        "labour",
        LabourRow,
        attrgetter("bought.labour"),
        "What there is to do in each layer, with its hours where `labour` has a rate for it.",
    ),
    Table(
        "labour_totals",
        LabourTotalRow,
        attrgetter("bought.labour_totals"),
        "All hours, and how long a crew takes: one row where rates were sent, else none.",
    ),
    Table(
        "delivery",
        DeliveryRow,
        attrgetter("delivery"),
        "What comes in sticks and sheets: the longest piece, and the room that stacks take.",
    ),
    Table(
        "trace",
        TraceRow,
        attrgetter("bought.trace"),
        "How each figure of the order comes about. Only where `explain` asked for it has the "
        "answer this member at all.",
    ),
    Table("compared", ComparedRow, _of("supplied", "compared")),
    Table(
        "moisture",
        LayerMoistureRow,
        attrgetter("moisture"),
        "Boards in the air that they will live in, where `moisture` was sent.",
    ),
    Table("moisture_checks", LayerCheckRow, attrgetter("moisture_checks")),
    Table("inspection", InspectionRow, attrgetter("inspection")),
    Table("findings", FindingRow, _findings),
    Table("relaxed", RelaxedRow, _relaxed),
    Table("cautions", CautionRow, attrgetter("cautions")),
    Table("basis", BasisRow, _basis),
)

BY_NAME: Final = {one.name: one for one in TABLES}

ASKED: Final[Mapping[str, Callable[[Takeoff], bool]]] = {
    "certificates": attrgetter("job.settings.certificate"),
    "trace": attrgetter("job.explain"),
}
"""Tables that an answer has only where the request asks for them, and whether it does."""

ONLY_ASKED: Final = frozenset(ASKED)
