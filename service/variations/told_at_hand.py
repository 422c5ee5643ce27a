"""The answer to a question of what there is: enough or not, what to buy, what is ripped anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.products.bought_rows import OrderRow, OwnedRow
from service.products.laid_rows import CourseRow
from service.report.tables.comparison import AtHandRow, RipRow, ToBuyRow, UsedRow
from service.report.tables.summary import ordered_in_words
from service.takeoff.pipeline import Takeoff
from service.units.writing import in_system
from service.variations.at_hand import AtHand, least
from service.variations.entry import Made, money


def at_hand_rows(
    asked: AtHand, made: Sequence[Made], unit: str
) -> tuple[AtHandRow, list[ToBuyRow], list[UsedRow]]:
    """The answer to a question of what there is, with what to buy and what is used."""
    best = least(made)
    if best.figures is None:
        return _refused(asked, best, unit), [], []
    lines, own = _lines(best.takeoff), _own(best.takeoff)
    buy = [
        ToBuyRow(
            question=asked.question, product=line.product, item=line.item(unit),
            length=line.length, buy=line.bought.buy, price=line.price,
        )
        for line in lines
    ]  # fmt: skip
    used = [
        UsedRow(
            question=asked.question, product=line.product, item=line.item(unit),
            length=line.length or 0, count=line.count, used=line.used,
        )
        for line in own
    ]  # fmt: skip
    return _answered(asked, best, made[-1]), buy, used


def _lines(takeoff: Takeoff) -> list[OrderRow]:
    return [line for supplied in takeoff.supplied for line in supplied.order]


def _own(takeoff: Takeoff) -> list[OwnedRow]:
    return [line for supplied in takeoff.supplied for line in supplied.owned]


def _refused(asked: AtHand, best: Made, unit: str) -> AtHandRow:
    return AtHandRow(
        question=asked.question,
        enough=None,
        cost=None,
        length=None,
        length_all_bought=None,
        proved=None,
        in_words=in_system(f"It cannot be done: {best.refused}.", unit),
        patch=[dict(row) for row in best.entry.patch],
    )


def _answered(asked: AtHand, best: Made, bought: Made) -> AtHandRow:
    assert best.figures is not None
    enough = not _lines(best.takeoff) if asked.has_some else None
    proved = _is_least(best.takeoff) if asked.has_some else None
    return AtHandRow(
        question=asked.question,
        enough=enough,
        cost=money(best.figures.cost),
        length=best.figures.length,
        length_all_bought=None if bought.figures is None else bought.figures.length,
        proved=proved,
        in_words=_in_words(best.takeoff, enough=enough, proved=proved),
        patch=[dict(row) for row in best.entry.patch],
    )


def _is_least(takeoff: Takeoff) -> bool:
    """Whether no plan buys less: of plans, not of what culls, spares and multiples add to them."""
    optimal = all(plan.optimal for supplied in takeoff.supplied for plan in supplied.plans)
    return optimal and all(line.bought.buy == line.bought.need for line in _lines(takeoff))


def _in_words(takeoff: Takeoff, *, enough: bool | None, proved: bool | None) -> str:
    if enough:
        return "What there is is enough: nothing that comes in lengths must be bought."
    words = " ".join(ordered_in_words(_lines(takeoff), _own(takeoff), takeoff.job.unit))
    if enough is None:
        return f"With the boards as they measure: {words}"
    sure = (
        "No plan with these courses buys less." if proved else "No plan was found that buys less."
    )
    return f"What there is is not enough. {words} No plan {sure}."


def rip_rows(question: str, before: Made, after: Made) -> Iterator[RipRow]:
    """Layers whose courses are others with the boards as they came."""
    if before.figures is None or after.figures is None:
        return
    was = {_place(rows): rows for rows in _courses(before.takeoff)}
    for rows in _courses(after.takeoff):
        old = was.get(_place(rows))
        if old is not None and [one.width for one in old] != [one.width for one in rows]:
            yield RipRow(
                question=question, surface=rows[0].surface, layer=rows[0].layer,
                courses_were=len(old), courses=len(rows),
                first_was=old[0].width, first=rows[0].width,
                last_was=old[-1].width, last=rows[-1].width,
            )  # fmt: skip


def _courses(takeoff: Takeoff) -> Iterator[Sequence[CourseRow]]:
    for layer in takeoff.laid:
        if layer.courses and layer.task.product.form == "board":
            yield layer.courses


def _place(rows: Sequence[CourseRow]) -> tuple[str, str]:
    return rows[0].surface, rows[0].layer
