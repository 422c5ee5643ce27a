"""What is cut from which stick, sheet or roll, on paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, Final

from service.report.printout.columns import UNBROKEN, Setting, paragraph, table
from service.report.printout.lengths import Lengths
from service.report.printout.piece_names import shortened
from service.report.printout.ranges import in_ranges
from service.report.printout.rows import Row
from service.report.printout.saw_words import in_short


def sheets(answer: Row, product: str, lengths: Lengths) -> list[Setting]:
    """Sheets that are sawn alike together: how many, the cuts in order, the pieces they make."""
    short = shortened(answer["pieces"])
    alike: dict[tuple[str, ...], list[Row]] = {}
    for sheet in answer["sheets"]:
        if sheet["product"] == product:
            key = (*sheet["steps"], f"{len(sheet['pieces'])}", f"{sheet['owned']}")
            alike.setdefault(key, []).append(sheet)
    return [line for group in alike.values() for line in _sawn_alike(group, short, lengths)]


def _sawn_alike(group: Sequence[Row], short: Mapping[str, str], lengths: Lengths) -> list[Setting]:
    first = group[0]
    size = f"{lengths.width(first['width'])} x {lengths.width(first['length'])}"
    size += " of your own" if first["owned"] else ""
    named = [[short.get(name, name) for name in sheet["pieces"]] for sheet in group]
    made = "; ".join(" + ".join(names) for names in named)
    steps = ", then ".join(first["steps"]) if first["steps"] else "whole"
    lines = paragraph(f"{len(group)} x {size}: {steps}  [{made}]", "    - ", boxes=len(group))
    kept = [_size(box, lengths) for box in first["kept"]]
    each = " of each" if len(group) > 1 else ""
    return lines + (paragraph(f"keep {', '.join(kept)}{each}", "      ") if kept else [])


def _size(box: Sequence[float], lengths: Lengths) -> str:
    return f"{lengths.width(box[3])} x {lengths.width(box[2])}"


def cut_list(
    answer: Row, product: str, word: str, lengths: Lengths, *, named: bool = True
) -> list[Setting]:
    """Sticks that are cut alike in one row: how many, the cuts in order, the rest, and what for.

    `word` is what the product is bought as: stick or roll. What is not `named` is alike wherever
    it is as long.
    """
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    short = shortened(answer["pieces"])
    groups: dict[tuple[Any, ...], list[Row]] = {}
    for stick in answer["sticks"]:
        if stick["product"] == product:
            groups.setdefault(_cut_alike(stick, pieces, lengths), []).append(stick)
    keys = sorted(groups, key=_longest_first)
    rows = [_stick_cells(key, groups[key], short if named else None, lengths) for key in keys]
    heads = ("", word, "offcut", "", "cuts, and the pieces they make" if named else "cuts")
    return table(heads, rows, "rrrll", [len(groups[key]) for key in keys])


def _cut_alike(stick: Row, pieces: Mapping[str, Row], lengths: Lengths) -> tuple[Any, ...]:
    """What makes two sticks alike on paper: length, whose, cuts with their marks, and rest."""
    named = tuple(
        (lengths.station(cut), _mark(pieces.get(name), lengths))
        for cut, name in zip(stick["cuts"], stick["pieces"], strict=True)
    )
    return (stick["length"], named, lengths.station(stick["offcut"]), stick["kept"],
            tuple(sorted(stick["cuts"], reverse=True)), stick["owned"],
            tuple(lap > 0 for lap in stick["laps"]))  # fmt: skip


def _longest_first(key: tuple[Any, ...]) -> tuple[Any, ...]:
    """As a saw is set: stock by stock, one stop after another, plain pieces before worked ones."""
    length, named, rest, _, cuts, owned, shared = key
    return (-length, not owned, tuple(-cut for cut in cuts), [mark for _, mark in named], named,
            rest, shared)  # fmt: skip


def _mark(piece: Row | None, lengths: Lengths) -> str:
    """What is done to a piece besides cutting it to length."""
    done = "" if piece is None else in_short(piece, lengths)
    return f" ({done})" if done else ""


def _stick_cells(
    key: tuple[Any, ...], sticks: Sequence[Row], short: Mapping[str, str] | None, lengths: Lengths
) -> list[str]:
    length, named, rest, kept, _, owned, shared = key
    cuts = _joined([cut.replace(" ", UNBROKEN) + mark for cut, mark in named], shared)
    if short is not None:
        cuts += f"  [{'; '.join(in_ranges(list(_made(key, sticks, short))))}]"
    words = ["own"] * owned + ["kept"] * kept
    return [f"{len(sticks)} x", lengths.station(length), rest, ", ".join(words), cuts]


def _made(key: tuple[Any, ...], sticks: Sequence[Row], short: Mapping[str, str]) -> Iterator[str]:
    """The pieces of each stick together; where all its cuts are alike any may come of any."""
    _, cuts, *_, shared = key
    for stick in sticks:
        names = _named(stick, short)
        if len(set(cuts)) == 1 and not any(shared) and not any(stick["beside"]):
            yield from names
        else:
            yield " + ".join(names)


_MOST_WRITTEN: Final = 2
"""So many cuts alike are each written, more as `4 at 2' 11"`."""


def _joined(cuts: Sequence[str], shared: Sequence[bool]) -> str:
    """Cuts in order, those alike on end as one; `//` parts two pieces of one slanted cut."""
    if not any(shared):
        rows = [list(own) for _, own in groupby(cuts)]
        return " + ".join(
            part
            for own in rows
            for part in (own if len(own) <= _MOST_WRITTEN else [f"{len(own)} at {own[0]}"])
        )
    signs = [" // " if one else " + " for one in shared]
    return "".join(f"{sign}{cut}" for sign, cut in zip(["", *signs], cuts, strict=True))


def _named(stick: Row, short: Mapping[str, str]) -> list[str]:
    """Pieces in cutting order; those ripped from one board have a slash between them."""
    return [
        "/".join(short.get(one, one) for one in (name, *others))
        for name, others in zip(stick["pieces"], stick["beside"], strict=True)
    ]
