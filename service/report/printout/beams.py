"""Beams, the bays between them and their parts, on paper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from service.report.printout.columns import Setting, table
from service.report.printout.framing import framing_of
from service.report.printout.lengths import Lengths
from service.report.printout.ranges import in_runs
from service.report.printout.rows import Row, is_of


def beam_blocks(answer: Row, layer: Row, lengths: Lengths) -> Iterator[tuple[str, list[Setting]]]:
    """Blocks with their captions of a layer of beams; none of any other."""
    beams, bays, parts = (
        [row for row in answer[name] if is_of(row, layer)]
        for name in ("beams", "bays", "beam_parts")
    )
    if not beams:
        return
    corner = corner_of(answer, layer)
    yield (
        "Beams, by their centre lines, up from the bottom or in from the left; hits are "
        f"{framing_of(answer, layer)}s that a core is fixed to:",
        _beams(beams, corner, lengths),
    )
    yield "Bays, clear with the skins on:", _bays(bays, lengths)
    yield (
        "Parts, the widest rip first; joints are marked along the beam from its low end:",
        _parts(parts, lengths),
    )


def corner_of(answer: Row, layer: Row) -> tuple[float, float]:
    """The lowest x and y of the surface, from which stations are measured."""
    (outline,) = (
        row["outline"] for row in answer["surfaces"] if row["surface"] == layer["surface"]
    )
    return min(x for x, _ in outline), min(y for _, y in outline)


def _beams(rows: Sequence[Row], corner: tuple[float, float], lengths: Lengths) -> list[Setting]:
    heads = ("beam", "centre", "", "wide x deep", "clear length", "hits", "blocks")
    cells = [
        [
            str(row["beam"]),
            _short(row, corner, lengths),
            row["lies"] if row["wall"] == "none" else f"half, {row['lies']}",
            f"{lengths.width(row['width'])} x {lengths.width(row['drop'])}",
            _made(row, lengths),
            str(row["hits"] or ""),
            str(row["blocks"] or ""),
        ]
        for row in rows
    ]
    return table(heads, cells, "rllllrr")


def centre_of(row: Row, corner: tuple[float, float], lengths: Lengths) -> tuple[str, str]:
    """Where its centre line lies: how far, and `up` or `in`; nothing of an oblique one."""
    (x, y), (to_x, to_y) = row["from"], row["to"]
    if y == to_y:
        return lengths.station(y - corner[1]), "up"
    return (lengths.station(x - corner[0]), "in") if x == to_x else ("", "")


def _short(row: Row, corner: tuple[float, float], lengths: Lengths) -> str:
    return " ".join(centre_of(row, corner, lengths)).strip()


def _made(row: Row, lengths: Lengths) -> str:
    whole = lengths.station(row["length"])
    return whole if row["segments"] < 2 else f"{whole} in {row['segments']}"


def _bays(rows: Sequence[Row], lengths: Lengths) -> list[Setting]:
    """Bays that are alike in one row, by their numbers."""
    alike: dict[tuple[str, str], list[int]] = {}
    for row in rows:
        key = lengths.width(row["along"]), lengths.width(row["across"])
        alike.setdefault(key, []).append(row["bay"])
    cells = [
        [f"{len(numbers)} x", f"{along} x {across}", in_runs(numbers)]
        for (along, across), numbers in alike.items()
    ]
    return table(("", "along x across the through beams", "bays"), cells, "rll")


def _parts(rows: Sequence[Row], lengths: Lengths) -> list[Setting]:
    """Parts that are cut alike in one row."""
    alike: Counter[tuple[str, ...]] = Counter()
    order: dict[tuple[str, ...], tuple[float, float]] = {}
    for row in rows:
        key = _cut_alike(row, lengths)
        alike[key] += 1
        order[key] = -row["width"], -row["length"]
    cells = [[f"{alike[key]} x", *key] for key in sorted(alike, key=lambda one: (order[one], one))]
    return table(("", "part", "rip", "long", "ends", "edges", "of", "joints at"), cells, "rlrrllll")


def _cut_alike(row: Row, lengths: Lengths) -> tuple[str, ...]:
    """What makes two parts alike on paper."""
    return (
        row["part"].split()[-1],
        lengths.width(row["width"]),
        lengths.piece(row["length"]),
        " to ".join(sorted(row["ends"])),
        "" if row["bevels"] == "none" else f"{row['bevels']} 45 deg",
        row["product"] or "not ordered",
        ", ".join(lengths.station(at) for at in row["joints"]),
    )
