"""The operations that take a body, as HTTP has them: forms, tables, and what is said of each."""

from __future__ import annotations

from typing import Final

from service.answering.changes import CHANGES
from service.answering.comparisons import COMPARISONS
from service.answering.cut_plans import CUT_PLANS
from service.answering.moisture import MOISTURE
from service.answering.takeoffs import TAKEOFFS
from service.api.asking import Asking
from service.report.tables.catalogue import BY_NAME
from service.report.tables.changes import BY_NAME as CHANGED
from service.report.tables.changes import CHANGE_PARTS
from service.report.tables.comparison import COMPARISON_BY_NAME
from service.report.tables.cut_plan import CUT_BY_NAME
from service.report.tables.moisture import MOIST_BY_NAME

_WORKBOOK: Final = "Every table that has rows on a sheet of its own, with live totals."

ASKINGS: Final = (
    Asking(
        operation=TAKEOFFS,
        tag="takeoffs",
        summary="Take off a job",
        description="Everything that boarding the given surfaces takes. Stateless: the same body "
        "gives the same bytes.",
        body="The job.",
        forms={
            "json": "The takeoff.",
            "svg": "The drawing, to scale.",
            "csv": "One table, the order where none is named; RFC 4180.",
            "txt": "The takeoff on paper: what to order, what to do first, what to decide, then "
            "the work layer by layer.",
            "xlsx": _WORKBOOK,
            "pdf": "Shop sheets for the ladder: order, courses, cut list with boxes to tick, "
            "fasteners, findings and cautions, then the drawing to scale.",
            "dxf": "The drawing for CAD, in true size (inches or millimetres), each kind of line "
            "on a layer of its own.",
        },
        tables=BY_NAME,
        usual="order",
        parts=BY_NAME,
    ),
    Asking(
        operation=CUT_PLANS,
        tag="takeoffs",
        summary="Cut pieces from sticks",
        description="Cutting alone: which pieces come from which stick, with no surface that they "
        "lie on. The same stock, saw and proof as in a takeoff.",
        body="The pieces, and the stock that they are cut from.",
        forms={
            "json": "The cut plan.",
            "csv": "One table, the sticks where none is named; RFC 4180.",
            "txt": "The cut plan on paper: what to order, the stops of the saw, the cut list.",
            "xlsx": _WORKBOOK,
            "pdf": "The same on sheets for the saw, with boxes to tick.",
        },
        tables=CUT_BY_NAME,
        usual="sticks",
        parts=CUT_BY_NAME,
    ),
    Asking(
        operation=CHANGES,
        tag="changes",
        summary="Order a change",
        description="What a change of a job asks for: pieces that stay, go and come, what to buy "
        "and what goes back. Stateless: both jobs are sent.",
        body="The job before and after the change.",
        forms={
            "json": "The change order.",
            "svg": "The drawing, to scale: what stays, what goes and what comes.",
            "csv": "One table, what is to buy where none is named; RFC 4180.",
            "txt": "The change order on paper: what to buy, the work step by step, what comes "
            "down, what is cut in place, the framing, the new pieces.",
            "xlsx": _WORKBOOK,
            "pdf": "The same on sheets, then the drawing to scale.",
            "dxf": "The drawing for CAD, in true size (inches or millimetres): what stays, what "
            "goes and what comes on layers of their own.",
        },
        tables=CHANGED,
        usual="order",
        parts=CHANGE_PARTS,
    ),
    Asking(
        operation=COMPARISONS,
        tag="takeoffs",
        summary="Compare a job with variations",
        description="Each variation is solved as it would be alone, and all are ranked. Also: what "
        "there is and the least to buy, what causes waste, what to measure again, what came.",
        body="The job, variations of it as patches, and what else is asked of it.",
        forms={
            "json": "The comparison.",
            "csv": "One table, the variations where none is named; RFC 4180.",
            "txt": "The comparison on paper: what was found, and why.",
            "xlsx": _WORKBOOK,
            "pdf": "The same on sheets.",
        },
        tables=COMPARISON_BY_NAME,
        usual="variations",
        parts=COMPARISON_BY_NAME,
    ),
    Asking(
        operation=MOISTURE,
        tag="takeoffs",
        summary="Say whether boards may go up",
        description="Moisture alone, with no surface: what the air brings boards to, how far they "
        "move till then, whether to install or to hold by the readings of a meter, and how they "
        "are stacked while they wait.",
        body="The boards, the air that they will live in, and the wood behind them.",
        forms={
            "json": "What moisture does.",
            "csv": "One table, the checks where none is named; RFC 4180.",
            "txt": "On paper: what must be so before the boards go up, how far they move, how they "
            "wait.",
        },
        tables=MOIST_BY_NAME,
        usual="checks",
        parts=MOIST_BY_NAME,
    ),
)
