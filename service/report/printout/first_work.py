"""What to do first in each layer, on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from service.products.nouns import BLANKS, Nouns, blanks_of, past_of, seen_of
from service.report.printout.beams import centre_of, corner_of
from service.report.printout.columns import Setting, paragraph
from service.report.printout.courses import cut_of, mark_of, width_of
from service.report.printout.framing import framing_of
from service.report.printout.lengths import Lengths
from service.report.printout.rows import Row, is_of, surface_of
from service.report.printout.sides import edge_of
from service.units.ticks import INCH

_TONGUE: Final = {
    "near": "tongue towards the start",
    "far": "tongue away from the start",
    "none": "",
}
_WAYS: Final = {0: "from left to right", 90: "from the bottom to the top"}

_EDGES: Final[Mapping[tuple[float, ...], str]] = {
    (0.0, 1.0): "up from the bottom",
    (0.0, -1.0): "down from the top",
    (1.0, 0.0): "from the left",
    (-1.0, 0.0): "from the right",
}
"""Where stations across begin, by the way that they run."""


_STARTS: Final[Mapping[tuple[float, ...], str]] = {
    (0.0, 1.0): "the bottom of the drawing",
    (0.0, -1.0): "the top of the drawing",
    (1.0, 0.0): "the left of the drawing",
    (-1.0, 0.0): "the right of the drawing",
}
"""Where work starts, by the way that it goes on."""


BEFORE_WORK: Final = "Before work: read the CAUTIONS, after the layers."

_MORE_THAN_A_GAP: Final = 2 * INCH
"""So far off an edge something else lies between, as a border."""

NEARLY: Final = 0.99
"""Courses turned by less, as half a taper turns them, still start at an edge of the drawing."""


def _way(layer: Row, rising: bool) -> tuple[float, ...]:
    """The way in which courses follow one another; one that is all but level is taken as such."""
    across = layer["across"]
    nearly = max(map(abs, across)) > NEARLY
    return tuple(0.0 + (round(one) if nearly else one) * (1 if rising else -1) for one in across)


def first_lines(nouns: Nouns, answer: Row, lengths: Lengths) -> list[Setting]:
    """The first line of each layer, in the order of work; on one surface it is not named.

    Where there are cautions, they are to be read before any of it.
    """
    first = [
        told for layer in answer["layers"] if (told := _first_of(nouns, layer, answer, lengths))
    ]
    numbered = [
        part
        for number, told in enumerate(first, start=1)
        for part in paragraph(told, f"{number:3}. ")
    ]
    return paragraph(BEFORE_WORK, "  ") + numbered if answer["cautions"] else numbered


def _first_of(nouns: Nouns, layer: Row, answer: Row, lengths: Lengths) -> str:
    """The first line of a layer, or nothing where nothing is known of it."""
    name = layer["layer"]
    if len(answer["surfaces"]) > 1:
        name = f"{layer['surface']}.{name}"
    facts = _known_of(layer, answer, lengths)
    told = _known((nouns.kinds[layer["kind"]].first,), facts)
    return "".join(f"{name}: {sentence}" for sentence in told)


def going_on(nouns: Nouns, layer: Row, answer: Row, lengths: Lengths) -> list[Setting]:
    """How the work on one layer begins and ends: the sentences of its kind."""
    facts = _known_of(layer, answer, lengths)
    told = _known(nouns.kinds[layer["kind"]].begin, facts)
    return [part for sentence in told for part in paragraph(sentence, "    - ")]


def _known_of(layer: Row, answer: Row, lengths: Lengths) -> Mapping[str, str]:
    """What is known of a layer's first course; nothing of a layer without courses."""
    laid = {row["course"] for row in answer["pieces"] if is_of(row, layer)}
    rows = [row for row in answer["courses"] if is_of(row, layer) and row["course"] in laid]
    if not rows:
        return _known_beam(answer, layer, lengths)
    names = framing_of(answer, layer), past(answer, layer)
    pieces = _pieces_of(answer, layer, rows[0]["course"])
    facts = {**known(layer, rows, pieces, names, lengths)}
    if any(row["product"] == layer["product"] for row in answer["sticks"]):
        facts["pieces"] = ", ".join(lengths.piece(row["length"]) for row in pieces)
    return {**facts, **_at_the_wall(layer, rows[0], surface_of(answer, layer), facts, lengths)}


def _at_the_wall(
    layer: Row, first: Row, surface: Row, facts: Mapping[str, str], lengths: Lengths
) -> Mapping[str, str]:
    """Where work starts, by the name of the wall there, and how far off it the first course lies.

    Nothing of a wall where none runs with the courses.
    """
    rising = first["near"] < first["far"]
    corners = [_across(layer, at) for at in surface["outline"]]
    edge = min(corners) if rising else max(corners)
    walls = zip(corners, corners[1:] + corners[:1], strict=True)
    named = [one["beside"] for one in surface["beside"]
             if all(_is_at(_across(layer, one[end]), edge) for end in ("from", "to"))]  # fmt: skip
    lies = facts["lies"]
    if lies and any(_is_at(a, edge) and _is_at(b, edge) for a, b in walls):
        off = _off_edge(first["near"] - edge, lengths, rising=rising)
        lies = f"{off}{lies[0].lower()}{lies[1:]}"
    side = f'{facts["side"]}, "{named[0]}"' if named else facts["side"]
    return {"side": side, "lies": lies, "seen": seen_of(surface["type"])}


def _off_edge(off: float, lengths: Lengths, *, rising: bool) -> str:
    """What is left at the wall where work starts, or how far the first course reaches beyond it."""
    gap = lengths.spacing(abs(off))
    if off and (off > 0) != rising:
        return f"Let the first course reach {gap} past the edge: "
    if lengths.ticks(abs(off)) >= _MORE_THAN_A_GAP:
        return f"Start {gap} off the edge: "
    return f"Leave {gap} at the wall: "


def _across(layer: Row, at: Sequence[float]) -> float:
    """The station across the courses of a point of the surface."""
    (x, y), (u, v), (p, q) = at, layer["origin"], layer["across"]
    return float((x - u) * p + (y - v) * q)


def _is_at(station: float, edge: float) -> bool:
    """Whether a station is that of an edge, but for rounding in print."""
    return abs(station - edge) <= 1e-4 * max(1.0, abs(edge))


def _known_beam(answer: Row, layer: Row, lengths: Lengths) -> Mapping[str, str]:
    """What is known of a strip set in, or of a first beam that is no half one; else nothing."""
    strips = [row for row in answer["trim_lengths"] if is_of(row, layer) and row["from_edge"]]
    if strips:
        edge = edge_of(strips[0], surface_of(answer, layer), lengths)
        the = "" if edge.startswith('"') else "the "
        line = f"{lengths.station(strips[0]['from_edge'])} from {the}{edge}"
        return dict.fromkeys(BLANKS, "") | {"line": line}
    across = [row for row in answer["trim_lengths"] if is_of(row, layer) and row["across_at"]]
    if across:
        line = _line_across(across[0], corner_of(answer, layer), lengths)
        return dict.fromkeys(BLANKS, "") | {"line": line}
    own = [row for row in answer["beams"] if is_of(row, layer)]
    full = [row for row in own if row["wall"] == "none"] or own
    if not full:
        return {}
    where, way = centre_of(full[0], corner_of(answer, layer), lengths)
    edge = {"up": "up from the bottom", "in": "in from the left", "": ""}[way]
    return dict.fromkeys(BLANKS, "") | {
        "number": str(full[0]["beam"]),
        "line": f"{where} {edge}".strip(),
        "width": lengths.width(full[0]["width"]),
    }


def _line_across(strip: Row, corner: Sequence[float], lengths: Lengths) -> str:
    """Where the back edge of a strip right across lies; of one aslant where it begins and ends."""
    (x, y), (p, q) = strip["from"], strip["to"]
    if _is_at(x, p):
        return f"{lengths.station(x - corner[0])} in from the left"
    if _is_at(y, q):
        return f"{lengths.station(y - corner[1])} up from the bottom"
    ends = (
        f"{lengths.station(at[0] - corner[0])} in and {lengths.station(at[1] - corner[1])} up"
        for at in sorted((strip["from"], strip["to"]))
    )
    return f"from {' to '.join(ends)}"


def past(answer: Row, layer: Row) -> str:
    """Where a layer lies that reaches over an edge, as wrap that is turned down does."""
    types = {row["surface"]: row["type"] for row in answer["surfaces"]}
    return past_of(types[layer["surface"]])


def _pieces_of(answer: Row, layer: Row, course: int) -> list[Row]:
    """Those of the layer's own product: not what lies on a course or behind it, as battens do."""
    own = (row for row in answer["pieces"] if is_of(row, layer) and row["course"] == course)
    return [row for row in own if row["product"] == layer["product"]]


def _known(sentences: Sequence[str], facts: Mapping[str, str]) -> list[str]:
    """Sentences with their blanks filled; one of whose blanks nothing is known is left out."""
    return [
        sentence.format_map(facts)
        for sentence in sentences
        if facts and all(facts[name] for name in blanks_of(sentence))
    ]


def known(
    layer: Row,
    rows: Sequence[Row],
    pieces: Sequence[Row],
    names: tuple[str, str],
    lengths: Lengths,
) -> dict[str, str]:
    """What there is to say of a layer's first course (`service.products.nouns`).

    `names` are what a member behind it is called, and where it lies past an edge.
    """
    behind, over = names
    first, *others = rows
    rising = first["near"] < first["far"]
    return {
        "number": str(first["course"]),
        "side": _STARTS.get(_way(layer, rising), f"the {'low' if rising else 'high'} side"),
        "seen": seen_of(""),
        "lies": _lies(first, over, lengths),
        "rise": "rise" if rising else "fall",
        "near": "" if first["from_wall"] else mark_of(first["near"], over, lengths),
        "far": mark_of(first["far"], over, lengths),
        "width": width_of(first, lengths),
        "line": _line(layer, first, lengths),
        "pieces": ", ".join(lengths.width(row["length"]) for row in pieces),
        "direction": _WAYS.get(layer["direction"], f"at {layer['direction']:g} degrees"),
        "from": _EDGES.get(tuple(layer["across"]), "from the origin"),
        "edge": {"far": "tongue edge", "near": "groove edge"}.get(first["tongue"], "far edge"),
        "support": behind,
        "lap": lengths.width(others[0]["lap"]) if others else "",
        "first_course": _course("First", layer, first, lengths),
        "last_course": _course("Last", layer, rows[-1], lengths) if others else "",
    }


def _lies(row: Row, past: str, lengths: Lengths) -> str:
    """From where to where a course lies; nothing of one that tapers, which is told at its ends."""
    if row["from_wall"]:
        return ""
    near, far = (mark_of(row[edge], past, lengths) for edge in ("near", "far"))
    return f"Course {row['course']} lies from {near} to {far}."


def _line(layer: Row, row: Row, lengths: Lengths) -> str:
    """Where the line of a course is snapped: from its edge, or from the wall where it tapers."""
    if row["from_wall"]:
        return _at_ends(layer, row["from_wall"], lengths, " from the wall")
    return f"{lengths.station(row['far'])} {_EDGES.get(tuple(layer['across']), 'from the origin')}"


def _at_ends(layer: Row, both: Sequence[float], lengths: Lengths, whence: str = "") -> str:
    """Two measures, each with the end of the boards at which it holds."""
    x, y = layer["along"]
    level = abs(x) >= abs(y)
    names = ("left", "right") if level else ("bottom", "top")
    low, high = names if (x if level else y) > 0 else names[::-1]
    first, last = (lengths.width(one) for one in both)
    return f"{first}{whence} at the {low} end, {last} at the {high} end"


def _course(name: str, layer: Row, row: Row, lengths: Lengths) -> str:
    wide, line = lengths.width(row["width"]), ""
    if row["end_widths"]:
        wide = f"tapers, {_at_ends(layer, row['end_widths'], lengths)}"
        line = f"its line {_line(layer, row, lengths)}"
    parts = (wide, line, _TONGUE[row["tongue"]], cut_of(row))
    return f"{name} course, no. {row['course']}: {', '.join(part for part in parts if part)}."
