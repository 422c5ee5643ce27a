"""The work on paper: how to start, the courses, the joints and the cut list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from typing import Any, Final, TypeAlias

from service.report.columns import UNBROKEN, abreast, paragraph, table
from service.report.lengths import Lengths

Row: TypeAlias = Mapping[str, Any]

_RIPPED: Final = {
    "groove": "groove edge ripped off",
    "tongue": "tongue edge ripped off",
    "both": "both edges ripped",
    "none": "not ripped",
}
_TONGUE: Final = {
    "near": "tongue towards the start",
    "far": "tongue away from the start",
    "none": "",
}
_EVERY = 5
"""Among courses that are alike each fifth one is printed, for check marks on site."""


def first_work(answer: Row, lengths: Lengths) -> list[str]:
    """What to do first in each layer, from the framing outward: a few sentences."""
    forms = {row["product"]: row["form"] for row in answer["products"]}
    layers = {(row["surface"], row["layer"]): row for row in answer["layers"]}
    lines: list[str] = []
    for key, rows in groupby(answer["courses"], key=lambda row: (row["surface"], row["layer"])):
        layer = layers.get(key, {})
        begin = _FIRST.get(forms.get(layer.get("product"), ""), _first_course)
        lines += [f"  {'.'.join(key)}", *begin(answer, layer, list(rows), lengths)]
    return lines


def _first_course(answer: Row, layer: Row, rows: list[Row], lengths: Lengths) -> list[str]:
    """Boards: the start line, and the first and the last course."""
    return [*_start(rows, lengths), *_ends(rows, lengths)]


def _first_row(answer: Row, layer: Row, rows: list[Row], lengths: Lengths) -> list[str]:
    """Sheets: the line of the first row, and its pieces from the low end on."""
    first = rows[0]
    own = [row for row in answer["pieces"] if _is_of(row, layer) and row["course"] == 1]
    pieces = ", ".join(lengths.width(row["length"]) for row in own)
    return [
        *paragraph(
            f"Snap a line at {lengths.station(first['far'])}: the far edge of row 1, "
            f"{lengths.width(first['width'])} wide. Its pieces from the low end: {pieces} long.",
            "    - ",
        ),
        *paragraph(
            "Lay whole sheets over openings and cut them in place; ends meet on a member's centre "
            "with the gap asked for.",
            "    - ",
        ),
    ]


def _first_width(answer: Row, layer: Row, rows: list[Row], lengths: Lengths) -> list[str]:
    """Wrap: which way it runs, and where the first width begins."""
    first = rows[0]
    lap = f", each further one laps {lengths.width(rows[1]['lap'])}" if len(rows) > 1 else ""
    return paragraph(
        f"Unroll in direction {layer['direction']:g} degrees; width 1 lies from "
        f"{lengths.station(first['near'])} to {lengths.station(first['far'])}{lap}. Tape laps and "
        "openings, then board over it as soon as it is dry.",
        "    - ",
    )


_FIRST: Final[Mapping[str, Callable[[Row, Row, list[Row], Lengths], list[str]]]] = {
    "sheet": _first_row,
    "roll": _first_width,
}
"""How work on a layer begins, by the form of its product; boards otherwise."""


def _is_of(row: Row, layer: Row) -> bool:
    return bool((row["surface"], row["layer"]) == (layer["surface"], layer["layer"]))


def _by_layer(rows: Iterable[Row]) -> Iterator[tuple[str, list[Row]]]:
    """Rows of each layer, in the order of the answer."""
    for (surface, layer), chosen in groupby(rows, key=lambda row: (row["surface"], row["layer"])):
        yield f"{surface}.{layer}", list(chosen)


def _start(rows: Sequence[Row], lengths: Lengths) -> list[str]:
    first = rows[0]
    rising = first["near"] < first["far"]
    side = "low" if rising else "high"
    course = "stations rise" if rising else "stations fall"
    return [
        *paragraph(
            f"Start on the {side} side ({course} from course to course, seen facing the finished "
            "side).",
            "    - ",
        ),
        *paragraph(
            f"Snap the start line at {lengths.station(first['far'])}: the far edge of course "
            f"{first['course']}. Its near edge lies at {lengths.station(first['near'])}.",
            "    - ",
        ),
    ]


def _ends(rows: Sequence[Row], lengths: Lengths) -> list[str]:
    named = [("First", rows[0])]
    if len(rows) > 1:
        named.append(("Last", rows[-1]))
    lines: list[str] = []
    for name, row in named:
        parts = (lengths.width(row["width"]), _TONGUE[row["tongue"]], _cut(row))
        text = ", ".join(part for part in parts if part)
        lines += paragraph(f"{name} course, no. {row['course']}: {text}.", "    - ")
    return lines


def _cut(row: Row) -> str:
    """How a course is cut, and its note; said once where the note says it too."""
    note: str = row["note"]
    if "rip" in note or row["tongue"] == row["rip"] == "none":
        return note
    return "; ".join(part for part in (_RIPPED[row["rip"]], note) if part)


def courses(answer: Row, lengths: Lengths) -> list[str]:
    """Every course that differs from its neighbours, and each fifth of those that are alike."""
    lines: list[str] = []
    for name, rows in _by_layer(answer["courses"]):
        shown, folded = [], False
        for alike in _alike(rows, lengths):
            kept = _kept(alike)
            folded = folded or len(kept) < len(alike)
            shown += [_course_cells(row, lengths) for row in kept]
        lines += table((name, "near edge", "far edge", "width", "note"), shown, "rrrrl")
        if folded:
            lines += paragraph(_between(rows, lengths), "    ")
    return lines


def _alike(rows: Sequence[Row], lengths: Lengths) -> Iterator[list[Row]]:
    """Neighbouring courses of one width, edges and note."""

    def looks(row: Row) -> tuple[str, ...]:
        return (lengths.width(row["width"]), row["rip"], row["tongue"], row["note"])

    for _, chosen in groupby(rows, key=looks):
        yield list(chosen)


def _kept(alike: list[Row]) -> list[Row]:
    """The first and the last of courses that are alike, and each fifth course between."""
    if len(alike) <= 4:
        return alike
    inner = [row for row in alike[1:-1] if row["course"] % _EVERY == 0]
    return [alike[0], *inner, alike[-1]]


def _between(rows: Sequence[Row], lengths: Lengths) -> str:
    """How to find the courses that are not printed."""
    widest = max(_alike(rows, lengths), key=len)
    steps = [abs(after["near"] - before["near"]) for before, after in pairwise(widest)]
    return f"Courses between two that are listed are alike, {lengths.width(steps[0])} apart."


def _course_cells(row: Row, lengths: Lengths) -> list[str]:
    note = "" if row["rip"] == "none" and not row["note"] else _cut(row)
    return [str(row["course"]), lengths.station(row["near"]), lengths.station(row["far"]),
            lengths.width(row["width"]), note]  # fmt: skip


def joints(answer: Row, lengths: Lengths) -> list[str]:
    """The joints of each course, with the number of the member each lands on."""
    lines: list[str] = []
    for name, rows in _by_layer(answer["joints"]):
        lines.append(f"  {name}: station (member)")
        lines += abreast(
            f"{course:>4}  " + "   ".join(_joint(row, lengths) for row in chosen)
            for course, chosen in groupby(rows, key=lambda row: row["course"])
        )
    if not lines and answer["pieces"]:
        return ["  None: each run is one piece."]
    return lines


def _joint(row: Row, lengths: Lengths) -> str:
    """A station and its member, in which no line may end."""
    place = row["on"] if row["bearing"] is None else str(row["bearing"])
    return f"{lengths.station(row['at'])} ({place})".replace(" ", UNBROKEN)


def cut_list(answer: Row, lengths: Lengths) -> list[str]:
    """Sticks that are cut alike in one row: how many, the cuts in order, the rest, and what for."""
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    short = shortened(pieces)
    groups: dict[tuple[Any, ...], list[Row]] = {}
    for stick in answer["sticks"]:
        groups.setdefault(_cut_alike(stick, pieces, lengths), []).append(stick)
    lines: list[str] = []
    for product, chosen in groupby(sorted(groups, key=_longest_first), key=lambda key: key[0]):
        rows = [_stick_cells(key, groups[key], short, lengths) for key in chosen]
        lines += table((product, "stick", "rest", "", "cuts, and the pieces they make"), rows,
                       "rrrll")  # fmt: skip
    return lines


def _cut_alike(stick: Row, pieces: Mapping[str, Row], lengths: Lengths) -> tuple[Any, ...]:
    """What makes two sticks alike on paper: product, length, cuts with their marks, and rest."""
    cuts = tuple(
        lengths.station(cut) + _mark(pieces.get(name))
        for cut, name in zip(stick["cuts"], stick["pieces"], strict=True)
    )
    rest = lengths.station(stick["rest"])
    return (stick["product"], stick["length"], cuts, rest, stick["kept"], max(stick["cuts"]))


def _longest_first(key: tuple[Any, ...]) -> tuple[Any, ...]:
    return (key[0], -key[1], -key[5], key[2])


def _mark(piece: Row | None) -> str:
    """What is done to a piece besides cutting it to length."""
    if piece is None:
        return ""
    done = [
        word
        for word, is_done in (
            ("rip", piece["rip"] != "none"),
            ("notch", piece["notches"] > 0),
            ("hole", piece["holes"] > 0),
            ("slant", any(end in {"mitred", "shaped"} for end in piece["ends"])),
        )
        if is_done
    ]
    return f" ({', '.join(done)})" if done else ""


def _stick_cells(
    key: tuple[Any, ...], sticks: Sequence[Row], short: Mapping[str, str], lengths: Lengths
) -> list[str]:
    cuts = " + ".join(text.replace(" ", UNBROKEN) for text in key[2])
    made = "; ".join(" + ".join(short.get(name, name) for name in stick["pieces"])
                     for stick in sticks)  # fmt: skip
    kept = "kept" if key[4] else ""
    return [f"{len(sticks)} x", lengths.station(key[1]), key[3], kept, f"{cuts}  [{made}]"]


def shortened(pieces: Mapping[str, Row]) -> dict[str, str]:
    """Piece labels without their surface and layer where all of a product lie in one layer."""
    places: dict[str, set[tuple[str, str]]] = {}
    for piece in pieces.values():
        places.setdefault(piece["product"], set()).add((piece["surface"], piece["layer"]))
    return {
        name: name.removeprefix(f"{piece['surface']}.{piece['layer']}.")
        for name, piece in pieces.items()
        if len(places[piece["product"]]) == 1
    }
