"""A comparison on paper: which variation is best, and what was found out about the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final, TypeAlias

from service.report.patches import in_words
from service.report.printout.columns import UNBROKEN, USUAL, Setting, paragraph, set_on, table
from service.report.printout.lengths import Lengths, fixed, plain
from service.report.printout.sections import sections_of

Answer: TypeAlias = Mapping[str, Any]


def comparison_printout(answer: Answer, columns: int = USUAL) -> str:
    """The whole answer to a comparison as text, at most `columns` wide (NARROWEST to WIDEST)."""
    lines = set_on(comparison_parts(answer), columns)
    return ("\n".join(lines).strip("\n") + "\n").replace(UNBROKEN, " ")


def comparison_parts(answer: Answer) -> list[Setting]:
    """All that is printed of a comparison."""
    return sections_of(_SECTIONS, answer, Lengths(answer["units"]["length"]))


def _found(answer: Answer, lengths: Lengths) -> list[Setting]:
    return [part for text in answer["in_words"] for part in paragraph(text, "  * ")]


def _side_by_side(answer: Answer, lengths: Lengths) -> list[Setting]:
    heads = ("", "variation", "cost", "of sticks", "bought", "joints", "waste %")
    cells = [
        [
            f"{row['rank']}.", row["variation"], fixed(row["cost"]), lengths.total(row["length"]),
            plain(row["sticks"]), plain(row["joints"]), plain(row["waste_pct"], 1),
        ]
        for row in answer["variations"]
    ]  # fmt: skip
    return table(heads, cells, "rl")


def _why(answer: Answer, lengths: Lengths) -> list[Setting]:
    return [
        part
        for row in answer["variations"]
        for part in paragraph(f"{row['variation']}: {row['why']} {row['in_words']}", "  * ")
    ]


def _refused(answer: Answer, lengths: Lengths) -> list[Setting]:
    lines: list[Setting] = []
    for row in answer["refused"]:
        lines += paragraph(f"{row['variation']}: {row['detail']} [{row['code']}]", "  * ")
        if row["cure"]:
            lines += paragraph(f"cure: {in_words(row['cure'])}", "      ")
    return lines


def _to_buy(answer: Answer, lengths: Lengths) -> list[Setting]:
    cells = [
        [row["question"].replace("_", " "), plain(row["buy"]), row["item"], fixed(row["price"])]
        for row in answer["to_buy"]
    ]
    return table(("with what there is", "buy", "item", "price"), cells, "lrl")


def _rips(answer: Answer, lengths: Lengths) -> list[Setting]:
    cells = [
        [
            f"{row['surface']}.{row['layer']}", f"{row['courses_were']} -> {row['courses']}",
            f"{lengths.width(row['first_was'])} -> {lengths.width(row['first'])}",
            f"{lengths.width(row['last_was'])} -> {lengths.width(row['last'])}",
        ]
        for row in answer["rips"]
    ]  # fmt: skip
    return table(("layer", "courses", "first", "last"), cells, "l")


def _waste(answer: Answer, lengths: Lengths) -> list[Setting]:
    cells = [
        [
            row["product"], row["account"].replace("_", " "), lengths.total(row["length"]),
            plain(row["share_pct"], 1),
        ]
        for row in answer["waste"]
    ]  # fmt: skip
    return table(("product", "goes into", "length", "%"), cells, "ll")


def _said(name: str) -> Callable[[Answer, Lengths], list[Setting]]:
    """What a table says in words, row by row; what is refused with its reason."""

    def section(answer: Answer, lengths: Lengths) -> list[Setting]:
        return [
            part
            for row in answer[name]
            for part in paragraph(
                row["in_words"] + (f" {row['refused']}" if row.get("refused") else ""), "  * "
            )
        ]

    return section


_SECTIONS: Final = (
    ("WHAT WAS FOUND", _found),
    ("SIDE BY SIDE", _side_by_side),
    ("WHY", _why),
    ("REFUSED", _refused),
    ("LEAST TO BUY", _to_buy),
    ("COURSES THAT CHANGE WITH THE BOARDS THAT CAME", _rips),
    ("WHAT IS WASTED", _waste),
    ("CHANGES THAT WERE TRIED", _said("changes")),
    ("IF A MEASURE IS OFF", _said("measures")),
)
