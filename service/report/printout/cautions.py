"""What may go wrong on site, on paper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from service.report.printout.columns import Setting, paragraph
from service.report.printout.findings import places
from service.report.printout.lengths import Lengths

Answer: TypeAlias = Mapping[str, Any]


def cautions(answer: Answer, lengths: Lengths) -> list[Setting]:
    """What may go wrong on site, each with its source where that is published.

    And with its surfaces, where it is not about all of them.
    """
    count = len(answer["surfaces"])
    return [
        part for row in answer["cautions"] for part in paragraph(_cautioned(row, count), "  * ")
    ]


def _cautioned(row: Answer, count: int) -> str:
    named = "" if len(row["surfaces"]) == count else f"{places(row['surfaces'])}: "
    source = "" if row["source"] == "common practice" else f" ({row['source']})"
    return f"{named}{row['text']}{source}"
