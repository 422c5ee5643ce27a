"""Trim on paper: every length with what it meets at both ends, as one goes round the room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.report.printout.bay_sides import BAY, bay_of, side_of_bay
from service.report.printout.columns import Setting, paragraph, table
from service.report.printout.lengths import Lengths
from service.report.printout.piece_names import labels
from service.report.printout.ranges import in_runs
from service.report.printout.rows import Row, is_of, surface_of
from service.report.printout.sides import edge_of
from service.report.stepped import stepped

HEADS: Final = ("", "along", "length", "left end", "right end", "pieces, left to right")


def trim_blocks(answer: Row, layer: Row, lengths: Lengths) -> Iterator[tuple[str, list[Setting]]]:
    """The lengths of a layer of trim, those that are alike in one row, and corners of each sort."""
    rows = [row for row in answer["trim_lengths"] if is_of(row, layer)]
    if not rows:
        return
    short = labels(answer["pieces"])
    surface = surface_of(answer, layer)
    ends = {piece["id"]: piece for piece in answer["pieces"] if is_of(piece, layer)}
    bays = [bay for bay in answer["bays"] if bay["surface"] == layer["surface"]]
    alike: dict[tuple[str, ...], list[Row]] = {}
    for row in rows:
        along = side_of_bay(row, bays) or _along(row, surface, lengths)
        alike.setdefault((along, *_made(row, ends, lengths)), []).append(row)
    cells = [
        [f"{len(own)} x", _where(key[0], own, bays), *key[1:-1], _pieces(key[-1], own, short)]
        for key, own in alike.items()
    ]
    (total,) = (row for row in answer["trim_totals"] if is_of(row, layer))
    yield "Lengths, ends as you face them:", table(HEADS, cells, "rlrlll")
    told = _in_all(total, _is_butted(rows, ends), lengths)
    yield "In all:", paragraph(f"{told}{_vented(total, answer['units']['area'])}", "    ")


def _made(row: Row, pieces: Mapping[str, Row], lengths: Lengths) -> tuple[str, ...]:
    """Its length, how its ends are cut and what its pieces are: alike where all of it is."""
    names = row["pieces"]
    first, last = pieces[names[0]]["ends"][0], pieces[names[-1]]["ends"][1]
    cuts = [lengths.station(pieces[name]["length"]) for name in names]
    return (
        lengths.station(row["length"]),
        _end(row, 0, first),
        _end(row, 1, last),
        _joined(cuts, row["scarfs"], pieces[names[0]]["ends"][1], lengths),
    )


def _where(along: str, rows: Sequence[Row], bays: Sequence[Row]) -> str:
    """`hatch`, or `bays 1 to 12, bottom`: where lengths lie that are alike."""
    if not along.startswith(BAY):
        return along
    numbers = [bay_of(row, bays) for row in rows]
    own = f"{'bay' if len(numbers) == 1 else 'bays'} {in_runs([one or 0 for one in numbers])}"
    return own + along.removeprefix(BAY)


def _pieces(made: str, rows: Sequence[Row], short: Mapping[str, str]) -> str:
    """What the pieces of a length are cut to, and their names, row after row."""
    named = [_of_length([short[name] for name in row["pieces"]]) for row in rows]
    return f"{made}  [{stepped(named)}]"


def _of_length(names: Sequence[str]) -> str:
    """The pieces of a length by their names: the first and the last of three or more."""
    return f"{names[0]} to {names[-1]}" if len(names) > 2 else " + ".join(names)


def _along(row: Row, surface: Row, lengths: Lengths) -> str:
    """`bottom edge`, `"fascia", 5" off`, `hatch`, or a side of a bay."""
    if row["opening"] is not None:
        return str(row["opening"])
    if row["across_at"] is not None:
        return "aslant" if is_aslant(row) else f"across, {lengths.station(row['across_at'])} in"
    if not row["edges"]:
        return "bay"
    edges, off = edge_of(row, surface, lengths), row["from_edge"]
    return f"{edges}, {lengths.station(off)} off" if off else edges


def is_aslant(row: Row) -> bool:
    """Whether a length runs neither level nor upright, but for rounding in print."""
    return all(
        abs(a - b) > 1e-4 * max(1.0, abs(b)) for a, b in zip(row["from"], row["to"], strict=True)
    )


_MEETS: Final = {"inside corner": "inside", "outside corner": "outside", "segment joint": "bend"}


_ALONG_A_LINE: Final = frozenset({"mitre edge", "wall", "open end"})
"""What an end meets that is cut along it, and not to half a corner."""


def _end(row: Row, end: int, cut: str) -> str:
    """`coped, inside`, `mitred 22.5, bend`: how it is cut, and what it meets there."""
    meets = _MEETS.get(row["meets"][end], row["meets"][end])
    turn = row["turns"][end]
    off = abs(turn - 90) if meets in _ALONG_A_LINE else turn / 2
    at = f" {off:g} deg" if cut == "mitred" and off != 45 else ""
    return f"{cut}{at}, {meets}"


def _joined(cuts: Sequence[str], scarfs: Sequence[float], cut: str, lengths: Lengths) -> str:
    """Its pieces, with where each two lap, or butt."""
    if not scarfs:
        return cuts[0]
    at = ", ".join(lengths.station(one) for one in scarfs)
    return f"{' + '.join(cuts)}; {'scarf' if cut == 'scarfed' else 'joint'} at {at}"


def _is_butted(rows: Sequence[Row], pieces: Mapping[str, Row]) -> bool:
    """Whether pieces of one length meet square, and not in scarfs."""
    firsts = (pieces[row["pieces"][0]] for row in rows if row["scarfs"])
    return any(piece["ends"][1] == "square" for piece in firsts)


_VENTED: Final = {"ft2": (144, "sq in"), "m2": (1_000_000, "mm2")}
"""Vents are measured in smaller units than surfaces: how many make one, and their name."""


def _vented(total: Row, unit: str) -> str:
    """The net free vent area, and what is asked of it."""
    many, name = _VENTED[unit]
    given, asked = total["free_area"], total["free_area_asked"]
    if given is None:
        return ""
    beside = "" if asked is None else f", of {asked * many:,.0f} that are asked"
    return f" {given * many:,.0f} {name} of net free vent area{beside}."


def _in_all(total: Row, butted: bool, lengths: Lengths) -> str:
    names = {"scarfs": "joints" if butted else "scarfs"}
    counts = [
        f"{total[key]} {name.removesuffix('s' if total[key] == 1 else '')}"
        for key in ("inside_corners", "outside_corners", "segment_joints", "scarfs")
        for name in [names.get(key, key.replace("_", " "))]
        if total[key]
    ]
    told = f"{lengths.total(total['length'])} along the back edge"
    return f"{', '.join([told, *counts])}."
