"""The takeoff on paper, in the order in which a yard and a carpenter need it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any, Final, TypeAlias

from service.products.nouns import Nouns
from service.report.printout import moisture
from service.report.printout.behind import behind
from service.report.printout.buying import counted, in_random_lengths, order, shares
from service.report.printout.cautions import cautions
from service.report.printout.columns import (
    UNBROKEN,
    USUAL,
    Heading,
    Setting,
    paragraph,
    set_on,
    table,
)
from service.report.printout.findings import ranked, relaxed
from service.report.printout.first_work import first_lines
from service.report.printout.inspection import inspection
from service.report.printout.labour import hours, stacks
from service.report.printout.layers import layer_sections
from service.report.printout.ledger import ledger
from service.report.printout.lengths import Lengths, area_unit, plain
from service.report.printout.sections import Section, sections_of
from service.report.printout.shims import shims
from service.report.printout.trace import trace
from service.units.folding import folded

Answer: TypeAlias = Mapping[str, Any]


def printout(answer: Answer, nouns: Nouns, columns: int = USUAL) -> str:
    """The whole answer as text: the order, the work course by course, and where it all went.

    `answer` is a flat answer in its published form (`from` for the start of a run), `nouns` what
    its kinds and forms are called. Lines end with a newline and are at most `columns` wide, which
    may be NARROWEST to WIDEST.
    """
    lengths = Lengths(answer["units"]["length"])
    parts = [
        *paragraph(titled(answer)),
        *sections_of(_leading(nouns), answer, lengths),
        *layer_sections(answer, nouns, lengths),
        *sections_of(_closing(nouns, against_flat(answer)), answer, lengths),
    ]
    return ("\n".join(set_on(parts, columns)) + "\n").replace(UNBROKEN, " ")


def shop_parts(answer: Answer, nouns: Nouns) -> list[list[Setting]]:
    """What of it goes up the ladder: the order and what to know, each layer, what is behind.

    Each list is a chapter; where all goes that is bought is for the desk, and in the whole text.
    """
    lengths = Lengths(answer["units"]["length"])
    return [
        sections_of(_leading(nouns, with_cures=False), answer, lengths),
        *_by_heading(layer_sections(answer, nouns, lengths)),
        sections_of(_LAST, answer, lengths),
    ]


def _by_heading(parts: Sequence[Setting]) -> list[list[Setting]]:
    """Parts in chapters, each from one heading to the next."""
    chapters: list[list[Setting]] = []
    for part in parts:
        if isinstance(part, Heading):
            chapters.append([])
        if chapters:
            chapters[-1].append(part)
    return chapters


def against_flat(answer: Answer) -> str:
    """The heading of the comparison: by its percentage, if it is one."""
    shares = {f"{row['flat_pct']:g} %" for row in answer["compared"]}
    return f"AGAINST A FLAT {shares.pop() if len(shares) == 1 else 'PERCENTAGE'}"


def titled(answer: Answer) -> str:
    """What was taken off, in one line."""
    rows, area = answer["surfaces"], area_unit(answer["units"])
    covered = f"{plain(folded(row['net'] for row in rows))} {area} to cover"
    if len(rows) == 1:
        return f"Takeoff of {rows[0]['surface']} ({rows[0]['type']}): {covered}."
    return f"Takeoff of {len(rows)} surfaces: {covered}."


def _surfaces(answer: Answer, lengths: Lengths) -> list[Setting]:
    """What each surface measures."""
    cells = [
        [row["surface"], row["type"], *(plain(row[name]) for name in ("gross", "openings", "net"))]
        for row in answer["surfaces"]
    ]
    over_all = f"{area_unit(answer['units'])} over all"
    return table(("surface", "is a", over_all, "openings", "to cover"), cells, "ll")


def of_products(table_of: str) -> Callable[[Answer, Lengths], list[Setting]]:
    """A section of what a table says of each product, in words."""
    return lambda answer, lengths: [
        part
        for row in answer.get(table_of, ())
        for part in paragraph(f"{row['product']}: {row['in_words']}", "  ")
    ]


def _said(name: str) -> Callable[[Answer, Lengths], list[Setting]]:
    """A section of sentences as they stand in the answer."""
    return lambda answer, lengths: [
        part for text in answer[name] for part in paragraph(text, "  * ")
    ]


def _leading(nouns: Nouns, *, with_cures: bool = True) -> Sequence[Section]:
    """What is printed before the layers: what to order and to do first, and what to know of it."""
    findings = partial(ranked, nouns, with_cures=with_cures)
    return (
        ("WHAT TO ORDER", partial(order, nouns)),
        ("WHAT TO DO FIRST", partial(first_lines, nouns)),
        ("DECIDE BEFORE ORDERING", findings("decide")),
        ("RULES RELAXED AS YOU ALLOWED", relaxed),
        ("GOOD TO KNOW", findings("know")),
        ("AS USUAL", findings("usual")),
    )


_SHIMS: Final[Section] = ("SHIMS ON THE FRAMING", shims)
_BEHIND: Final[Section] = ("WHAT MUST STAND BEHIND (COUNTED, NOT COMPUTED)", behind)
_NOT_COMPUTED: Final[Section] = ("NOT COMPUTED", _said("not_computed"))
_CAUTIONS: Final[Section] = ("CAUTIONS", cautions)
_LAST: Final = (_CAUTIONS, _SHIMS, _BEHIND, _NOT_COMPUTED)
"""What a carpenter wants to see after the layers."""


def _closing(nouns: Nouns, against: str) -> Sequence[Section]:
    """What is printed after the layers; `against` heads the comparison."""
    return (
        _CAUTIONS,
        _SHIMS,
        ("BEFORE THE BOARDS GO UP", moisture.layers),
        ("INSPECTION SHEET", inspection),
        _BEHIND,
        ("WHAT WAS MEASURED", _surfaces),
        ("HOW THE ORDER COMES ABOUT", partial(counted, nouns)),
        ("IN RANDOM LENGTHS", in_random_lengths),
        ("WHAT ROOM IT TAKES ON THE SITE", stacks),
        ("HOURS, BY YOUR RATES", hours),
        ("HOW EACH FIGURE COMES ABOUT", trace),
        ("HOW GOOD THE CUT PLAN IS", of_products("cut_plans")),
        ("WHAT OF THAT CAN BE CHECKED", of_products("certificates")),
        ("WHERE ALL THAT IS BOUGHT GOES", ledger),
        ("SHARE BY AREA", shares),
        ("WHAT THE RULES COST", of_products("rule_costs")),
        (against, of_products("compared")),
        _NOT_COMPUTED,
    )
