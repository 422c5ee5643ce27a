"""A change order: two jobs in, the difference and the work that is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

import orjson

from service import RULES_VERSION, __version__
from service.answering.operation import (
    CSV,
    DXF,
    JSON,
    PDF,
    SVG,
    TEXT,
    XLSX,
    Operation,
    Picked,
    Rendered,
)
from service.answering.refusals import told_of
from service.answering.takeoffs import gap_of
from service.changes.change import Change, change
from service.changes.installed import UpPart, up_of
from service.changes.matching import placed_pieces
from service.changes.opening import opened
from service.changes.ordering import AtHand, Ripped, Sold
from service.cures import with_tried_findings
from service.errors import ShapeRefused
from service.products.registry import nouns, rules_digest
from service.report.cad.plan import plan
from service.report.cad.written import dxf
from service.report.change_sheets import change_sheets
from service.report.drawing.svg import chosen, draw, draw_apart
from service.report.paper import laid_on, paper_of
from service.report.printout.change import change_parts, change_printout
from service.report.printout.columns import USUAL
from service.report.shop_sheets.made import FACE, on_sheets
from service.report.tables.catalogue import TABLES as WORK_TABLES
from service.report.tables.changes import (
    CHANGE_PARTS,
    TABLES,
    change_as_csv,
    change_shape,
    flat_change,
)
from service.report.workbook.made import change_workbook
from service.request.changes import ChangeAsked, change_asked, change_model, placed
from service.request.cost import cost
from service.request.reading import job_of
from service.request.shaped import unit_of
from service.schemas.answer import BeforeVersion
from service.schemas.liquids import Holds
from service.takeoff.job import Job
from service.takeoff.moisture.room import with_room
from service.takeoff.pipeline import take_off
from service.units.writing import listed


@dataclass(frozen=True, slots=True)
class _Read:
    """A change order whose jobs are read, the second with each way of taking what is at hand.

    As if nothing were; with all of it; and with what is left over alone, where more was delivered.
    """

    asked: ChangeAsked
    before: Job
    after: Job
    stocked: tuple[Job, ...]

    @property
    def at_hand(self) -> tuple[AtHand, ...]:
        """What is left over and what was delivered."""
        spec = self.asked.spec
        left = (
            AtHand(_item(one, one.left or one.holds), one.count)
            for one in spec.leftovers or ()
            if one.width is None
        )
        came = (
            AtHand(_item(one, one.holds), one.count, came=True, whole=bool(one.returnable))
            for one in spec.delivered or ()
        )
        return *left, *came

    @property
    def ripped(self) -> tuple[Ripped, ...]:
        """What is left over of boards that were ripped."""
        return tuple(
            Ripped(one.product, one.length, one.width, one.count)
            for one in self.asked.spec.leftovers or ()
            if one.width is not None
        )

    @property
    def up(self) -> tuple[UpPart, ...]:
        """What is said to be up of the first job."""
        sent = self.asked.spec.installed
        if sent is None or sent == "nothing":
            return ()
        if sent == "everything":
            return (UpPart("/installed"),)
        return tuple(_part(f"/installed/{k}", one) for k, one in enumerate(sent))

    @property
    def came(self) -> bool:
        """Whether it was told what of the first order is there."""
        return self.asked.spec.delivered is not None


def _item(one: Any, within: Holds | None) -> Sold:
    """What a row at hand is of: product, length, and what is in a can or tube."""
    return one.product, one.length, None if within is None else within.volume


def _part(pointer: str, sent: Any) -> UpPart:
    return UpPart(
        pointer,
        sent.surface,
        sent.layer,
        None if sent.courses is None else (sent.courses.first, sent.courses.last),
        None if sent.pieces is None else tuple(sent.pieces),
    )


def _read(asked: object) -> _Read:
    read = change_asked(asked)
    with told_of(read.before, "/before"):
        before = with_room(job_of(read.before))
    with told_of(read.after, "/after"):
        after = with_room(job_of(read.after))
    return _Read(read, before, after, tuple(_stocked(read)))


def _stocked(read: ChangeAsked) -> Iterator[Job]:
    """The job with what is at hand as its own; faults of that are told where it was sent."""
    try:
        if read.stocked is not read.after:
            yield with_room(job_of(read.stocked))
    except ShapeRefused as refusal:
        raise ShapeRefused(*placed(refusal.faults, read.sources)) from None
    if read.left is not read.after and read.spec.delivered:
        yield with_room(job_of(read.left))


def _cost(read: _Read) -> int:
    after = cost(read.after)
    ways = 1 + bool(read.up) + len(read.stocked)
    return cost(read.before) + after * ways


def _answer(read: _Read, picked: Picked) -> Rendered:
    drawn = picked.is_drawn
    with told_of(read.asked.before, "/before"):
        before = take_off(read.before, draw=drawn)
    with told_of(read.asked.after, "/after"):
        after = take_off(read.after)
    up = up_of(placed_pieces(before), read.up)
    with told_of(read.asked.after, "/after"):
        found = opened(before, after, up)
        bare = after if not (up or drawn) else take_off(found.left(read.after), draw=drawn)
        works = [bare]
        works += [take_off(found.left(job), draw=drawn) for job in read.stocked]
        came = read.came or bool(up)
        made = change(before, after, works, found, read.at_hand, read.ripped, came=came)
    return Rendered(_rendered(made, read, picked), gap_of(made.work))


def _rendered(made: Change, read: _Read, picked: Picked) -> bytes:
    return _FORMS[picked.media](made, read, picked)


def _as_json(made: Change, read: _Read, picked: Picked) -> bytes:
    tried = replace(made, work=with_tried_findings(made.work))
    answer = flat_change(tried, _before_version(read.asked.spec.before_version))
    return orjson.dumps(picked.kept(answer, CHANGE_PARTS))


def _as_drawing(made: Change, read: _Read, picked: Picked) -> bytes:
    pages = laid_on(change_sheets(made), picked.paper or "letter")
    return draw(pages, picked.surface, picked.layer)


def _for_cad(made: Change, read: _Read, picked: Picked) -> bytes:
    return dxf(plan(chosen(change_sheets(made), picked.surface)))


def _as_table(made: Change, read: _Read, picked: Picked) -> bytes:
    return change_as_csv(made, picked.table)


def _as_workbook(made: Change, read: _Read, picked: Picked) -> bytes:
    return change_workbook(_told(made, read), TABLES, WORK_TABLES, "order", picked.paper)


def _on_paper(made: Change, read: _Read, picked: Picked) -> bytes:
    return change_printout(_told(made, read), nouns(), picked.columns or USUAL).encode()


def _on_sheets(made: Change, read: _Read, picked: Picked) -> bytes:
    """The change order on paper, then the drawing of it."""
    answer = _told(made, read)
    paper = picked.paper or paper_of(answer)
    pages = draw_apart(laid_on(change_sheets(made), paper), FACE)
    surfaces = listed(list(dict.fromkeys(row["surface"] for row in answer["totals"])))
    title = f"Change order of {surfaces}"
    return on_sheets(answer, title, change_parts(answer, nouns()), pages, paper)


def _told(made: Change, read: _Read) -> Mapping[str, Any]:
    """The very answer that a client would read as JSON."""
    answer: Mapping[str, Any] = orjson.loads(_as_json(made, read, Picked()))
    return answer


_FORMS: Final[Mapping[str, Callable[[Change, _Read, Picked], bytes]]] = {
    JSON: _as_json,
    SVG: _as_drawing,
    CSV: _as_table,
    TEXT: _on_paper,
    XLSX: _as_workbook,
    PDF: _on_sheets,
    DXF: _for_cad,
}
"""Media type -> how a change order is written in it."""


def _before_version(sent: Any) -> BeforeVersion | None:
    """Whether the version that was sent is this one's (21.8)."""
    if sent is None:
        return None
    now = {"service": __version__, "rules": RULES_VERSION, "digest": rules_digest()}
    differ = [key for key, value in now.items() if getattr(sent, key) not in (None, value)]
    if not differ:
        text = "the first answer was made by the same rules: its figures are those of `before` here"
        return BeforeVersion(same=True, in_words=text)
    text = (
        f"{' and '.join(differ)} differ: `before` is taken off here by rules {RULES_VERSION}, and "
        "its figures may not be those of the first answer"
    )
    return BeforeVersion(same=False, in_words=text)


def _unit(asked: object) -> str:
    return unit_of(asked.get("after") if isinstance(asked, Mapping) else None)


CHANGES = Operation(
    name="changes",
    id="change",
    read=_read,
    cost=_cost,
    answer=_answer,
    unit=_unit,
    request=change_model,
    reply=change_shape,
    examples="changes",
)
