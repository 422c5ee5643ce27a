"""A cut plan on paper, for the yard and for the saw."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any, Final, TypeAlias

from service.products.nouns import Nouns
from service.report.printout.buying import counted, order
from service.report.printout.columns import UNBROKEN, USUAL, Setting, paragraph, set_on
from service.report.printout.cuts import cut_list
from service.report.printout.findings import ranked
from service.report.printout.ledger import ledger
from service.report.printout.lengths import Lengths
from service.report.printout.saw_list import batches
from service.report.printout.sections import sections_of
from service.report.printout.written import against_flat, of_products

Answer: TypeAlias = Mapping[str, Any]

_NONE_LAID: Final[Answer] = {"pieces": (), "sheets": ()}
"""Nothing is told of pieces but what they are cut to."""


def cut_plan_printout(answer: Answer, nouns: Nouns, columns: int = USUAL) -> str:
    """The whole answer to a cut plan as text, at most `columns` wide (NARROWEST to WIDEST)."""
    parts = cut_plan_parts(answer, nouns)
    return ("\n".join(set_on(parts, columns)) + "\n").replace(UNBROKEN, " ")


def cut_plan_parts(answer: Answer, nouns: Nouns) -> list[Setting]:
    """All that is printed of a cut plan."""
    answer = {**answer, **_NONE_LAID}
    lengths = Lengths(answer["units"]["length"])
    sections = (
        ("WHAT TO ORDER", partial(order, nouns)),
        ("SET THE STOP", _stops),
        ("CUT LIST", _cuts),
        ("DECIDE BEFORE ORDERING", ranked(nouns, "decide")),
        ("GOOD TO KNOW", ranked(nouns, "know")),
        ("AS USUAL", ranked(nouns, "usual")),
        ("HOW THE ORDER COMES ABOUT", partial(counted, nouns)),
        ("HOW GOOD THE CUT PLAN IS", of_products("cut_plans")),
        ("WHERE ALL THAT IS BOUGHT GOES", ledger),
        (against_flat(answer), of_products("compared")),
    )
    return [*_title(answer, lengths), *sections_of(sections, answer, lengths)]


def _title(answer: Answer, lengths: Lengths) -> list[Setting]:
    told = answer["summary"]
    return paragraph(
        f"Cut plan: {told['pieces']:,} pieces, {lengths.total(told['wanted'])}, from "
        f"{told['sticks']:,} sticks, {lengths.total(told['taken'])}; "
        f"{lengths.total(told['waste'])} of that, {told['waste_pct']:.1f} %, becomes no piece."
    )


def _stops(answer: Answer, lengths: Lengths) -> list[Setting]:
    return batches(answer, _product(answer), lengths)


def _cuts(answer: Answer, lengths: Lengths) -> list[Setting]:
    return cut_list(answer, _product(answer), "stick", lengths)


def _product(answer: Answer) -> str:
    name: str = answer["cut_plans"][0]["product"]
    return name
