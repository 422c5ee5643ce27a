"""Findings on paper, ranked by what they ask of their reader; what is said of several once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final, TypeAlias

from service.products.nouns import Nouns, Rank
from service.report.patches import in_words
from service.report.printout.columns import Setting, paragraph
from service.report.printout.lengths import Lengths

Answer: TypeAlias = Mapping[str, Any]

_PLACES: Final = 6
"""So many places are named in full; of more, how many there are."""


def ranked(
    nouns: Nouns, rank: Rank, *, with_cures: bool = True
) -> Callable[[Answer, Lengths], list[Setting]]:
    """A section of the findings of one rank; their cures are for who writes the request."""

    def section(answer: Answer, lengths: Lengths) -> list[Setting]:
        rows = [row for row in answer["findings"] if nouns.rank(row["code"]) == rank]
        return [part for same in _said_alike(rows) for part in _told(same, with_cures)]

    return section


def _said_alike(rows: Sequence[Answer]) -> list[list[Answer]]:
    """Findings that say the same of several places together, those of several places first."""
    alike: dict[tuple[str, str], list[Answer]] = {}
    for row in rows:
        alike.setdefault((row["code"], row["text"]), []).append(row)
    return sorted(alike.values(), key=len, reverse=True)


def _told(rows: Sequence[Answer], with_cures: bool) -> list[Setting]:
    first = rows[0]
    rule = f" (rule {first['rule']})" if first["rule"] else ""
    text = f"{places([row['at'] for row in rows])}: {first['text']} [{first['code']}]{rule}"
    cures = list(dict.fromkeys(in_words(row["cure"]) for row in rows if row["cure"]))
    if not with_cures:
        return paragraph(text, "  * ")
    return [
        *paragraph(text, "  * "),
        *(part for cure in cures for part in paragraph(f"cure: {cure}", "      ")),
    ]


def places(names: Sequence[str]) -> str:
    """Places in a row; of many the first, and how many more."""
    shown = ", ".join(names[:_PLACES])
    return f"{shown} and {len(names) - _PLACES} more" if len(names) > _PLACES else shown


def relaxed(answer: Answer, lengths: Lengths) -> list[Setting]:
    """Rules that were not kept because the caller allowed it, with what was asked and used."""
    return [
        part
        for row in answer["relaxed"]
        for part in paragraph(
            f"rule {row['rule']}, {row['key']}: asked {row['asked']}, used {row['used']}, "
            f"at {places(row['places'])}",
            "  * ",
        )
    ]
