"""Sheets and how they are sawn, and what is used by length, on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any, TypeAlias

from service.report.columns import paragraph, table
from service.report.lengths import Lengths
from service.report.written_work import shortened

Row: TypeAlias = Mapping[str, Any]


def sheets(answer: Row, lengths: Lengths) -> list[str]:
    """Sheets that are sawn alike together: how many, the cuts in order, the pieces they make."""
    lines: list[str] = []
    short = shortened({piece["id"]: piece for piece in answer["pieces"]})
    for product, chosen in groupby(answer["sheets"], key=lambda row: row["product"]):
        lines.append(f"  {product}")
        alike: dict[tuple[str, ...], list[Row]] = {}
        for sheet in chosen:
            alike.setdefault((*sheet["steps"], f"{len(sheet['pieces'])}"), []).append(sheet)
        for group in alike.values():
            lines += _alike(group, short, lengths)
    return lines


def _alike(group: Sequence[Row], short: Mapping[str, str], lengths: Lengths) -> list[str]:
    first = group[0]
    size = f"{lengths.width(first['width'])} x {lengths.width(first['length'])}"
    named = [[short.get(name, name) for name in sheet["pieces"]] for sheet in group]
    made = "; ".join(" + ".join(names) for names in named)
    steps = ", then ".join(first["steps"]) if first["steps"] else "whole"
    lines = paragraph(f"{len(group)} x {size}: {steps}  [{made}]", "    - ")
    kept = [_size(box, lengths) for box in first["kept"]]
    return lines + (paragraph(f"keep {', '.join(kept)} of each", "      ") if kept else [])


def _size(box: Sequence[float], lengths: Lengths) -> str:
    return f"{lengths.width(box[3])} x {lengths.width(box[2])}"


def by_length(answer: Row, lengths: Lengths) -> list[str]:
    """Tape and the like: how long, where."""
    rows = [
        [
            lengths.total(row["length"]), row["product"] or "", f"{row['surface']}.{row['layer']}",
            row["where"], row["counted"],
        ]
        for row in answer["consumables"]
    ]  # fmt: skip
    return table(("length", "product", "layer", "where", "what was measured"), rows, "rllll")
