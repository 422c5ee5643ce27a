"""Trim on paper: every length with what it meets at both ends, as one goes round the room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final, TypeAlias

from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.cuts import shortened
from service.report.printout.lengths import Lengths

Row: TypeAlias = Mapping[str, Any]

HEADS: Final = ("no.", "along", "length", "left end", "right end", "pieces, left to right")


def trim_blocks(answer: Row, layer: Row, lengths: Lengths) -> Iterator[tuple[str, list[Setting]]]:
    """The lengths of a layer of trim, and how many corners of which sort it has."""
    rows = [row for row in answer["trim_lengths"] if _is_of(row, layer)]
    if not rows:
        return
    short = shortened(answer["pieces"])
    ends = {piece["id"]: piece for piece in answer["pieces"] if _is_of(piece, layer)}
    cells = [_cells(row, ends, short, lengths) for row in rows]
    (total,) = (row for row in answer["trim_totals"] if _is_of(row, layer))
    yield "Lengths, ends as you face them:", table(HEADS, cells, "rlrlll")
    yield "In all:", paragraph(_in_all(total, lengths), "    ")


def _is_of(row: Row, layer: Row) -> bool:
    return bool((row["surface"], row["layer"]) == (layer["surface"], layer["layer"]))


def _cells(
    row: Row, pieces: Mapping[str, Row], short: Mapping[str, str], lengths: Lengths
) -> list[str]:
    names = row["pieces"]
    first, last = pieces[names[0]]["ends"][0], pieces[names[-1]]["ends"][1]
    cuts = [f"{short[name]} {lengths.station(pieces[name]['length'])}" for name in names]
    return [
        str(row["number"]),
        _along(row),
        lengths.station(row["length"]),
        _end(row, 0, first),
        _end(row, 1, last),
        _joined(cuts, row["scarfs"], lengths),
    ]


def _along(row: Row) -> str:
    """`edge 2`, `hatch`, or a side of a bay."""
    if row["opening"] is not None:
        return str(row["opening"])
    if not row["edges"]:
        return "bay"
    return f"edge {', '.join(map(str, row['edges']))}"


_MEETS: Final = {"inside corner": "inside", "outside corner": "outside", "segment joint": "bend"}


def _end(row: Row, end: int, cut: str) -> str:
    """`coped, inside`, `mitred 22.5, bend`: how it is cut, and what it meets there."""
    meets = _MEETS.get(row["meets"][end], row["meets"][end])
    turn = row["turns"][end]
    at = f" {turn / 2:g} deg" if cut == "mitred" and turn != 90 else ""
    return f"{cut}{at}, {meets}"


def _joined(cuts: Sequence[str], scarfs: Sequence[float], lengths: Lengths) -> str:
    """Its pieces, with where each two lap."""
    if not scarfs:
        return cuts[0]
    at = ", ".join(lengths.station(one) for one in scarfs)
    return f"{' + '.join(cuts)}; scarf at {at}"


def _in_all(total: Row, lengths: Lengths) -> str:
    counts = [
        f"{total[key]} {key.replace('_', ' ').removesuffix('s' if total[key] == 1 else '')}"
        for key in ("inside_corners", "outside_corners", "segment_joints", "scarfs")
        if total[key]
    ]
    told = f"{lengths.total(total['length'])} along the back edge"
    return f"{', '.join([told, *counts])}."
