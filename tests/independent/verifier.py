"""Checks a cut plan and a layout in whole ticks: sticks, placement, joints, stagger, bans."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import Any

from tests.independent import bans, shared_cuts
from tests.independent.asked import Layer, Member, laid, layers, rows
from tests.independent.measure import slack, ticks
from tests.independent.reader import crossings
from tests.independent.trims import allowed

Row = dict[str, Any]
Span = tuple[int, int]


def faults(request: Row, answer: Row) -> list[str]:
    """Everything that breaks a law; empty if nothing does."""
    found = sticks(request, answer) + boards_shared(request, answer) + placement(answer)
    for layer in laid(request, answer):
        found += runs(layer, answer) + joints(layer, answer)
        found += stagger(layer, answer) + bans.faults(layer, answer)
    return found


# --- sticks ------------------------------------------------------------------------------------


def sticks(request: Row, answer: Row) -> list[str]:
    """Every stick is of a stock length, and its cuts, kerfs, trims and rest add up to it."""
    cut = {piece["id"]: piece["ticks"] for piece in answer["pieces"]}
    concerned = {layer.key: layer for layer in laid(request, answer)}
    found = []
    for layer in {layer.product["id"]: layer for layer in layers(request)}.values():
        for row in answer["sticks"]:
            if row["product"] == layer.product["id"]:
                trims = set[int]()
                if row["pieces"] and all(piece in cut for piece in row["pieces"]):
                    trims = allowed(concerned, answer, row)
                found += [f"{row['stick']}: {fault}" for fault in _stick(layer, row, cut, trims)]
                if row["laps"]:
                    shared = shared_cuts.faults(concerned, answer, row)
                    found += [f"{row['stick']}: {fault}" for fault in shared]
    return found


def _stick(layer: Layer, row: Row, cut: dict[str, int], trims: set[int]) -> list[str]:
    exact, unit = row["ticks"], layer.unit
    own = [cut.get(piece, 0) for piece in row["pieces"]]
    kerf = layer.rule("kerf")
    over = sum(own) - exact["pieces"]  # by so much they lie over each other
    usable = exact["length"] - exact["end_trim"] - sum(own)
    saw = kerf * (len(own) - 1) + max(0, min(kerf, usable - kerf * (len(own) - 1)))
    laps = sum(ticks(lap, unit) for lap in row["laps"])
    taken_of = layer.product["owned" if row["owned"] else "stock"]
    stock = {ticks(item["length"], unit) for item in taken_of}
    kept = exact["offcut"] >= layer.rule("keep_offcut")
    laws = {
        "not a stock length": exact["length"] in stock,
        "no piece": bool(own),
        "pieces do not add up": abs(over - laps) <= slack(unit) * len(row["laps"]),
        "printed cuts differ": _near([ticks(cut, unit) for cut in row["cuts"]], own, slack(unit)),
        "end trim": exact["end_trim"] in trims,
        "kerf": bool(row["laps"]) or exact["kerf"] == saw,
        "rest is negative": exact["offcut"] >= 0,
        "length": exact["length"] + over
        == sum(own) + exact["kerf"] + exact["end_trim"] + exact["offcut"],
        "kept": row["kept"] == kept,
    }  # fmt: skip
    return [law for law, held in laws.items() if not held]


def from_stick(row: Row) -> list[str]:
    """Every piece of a stick: crosscut, or ripped off beside one that was."""
    return [*row["pieces"], *(piece for beside in row["beside"] for piece in beside)]


def boards_shared(request: Row, answer: Row) -> list[str]:
    """Rips of one board lie side by side in it, none longer than the first, no edge used twice."""
    concerned = {layer.key: layer for layer in laid(request, answer)}
    pieces = {piece["id"]: piece for piece in answer["pieces"]}
    found = []
    for row in answer["sticks"]:
        if len(row["beside"]) != len(row["pieces"]):
            found.append(f"{row['stick']}: not one list for each piece")
        for lead, beside in zip(row["pieces"], row["beside"], strict=False):
            rips = [pieces[name] for name in (lead, *beside) if name in pieces]
            if len(rips) > 1:
                layer = concerned[rips[0]["surface"], rips[0]["layer"]]
                found += [f"{lead}: {fault}" for fault in _shares(concerned, layer, answer, rips)]
    return found


def _shares(concerned: dict[Any, Layer], layer: Layer, answer: Row, rips: list[Row]) -> list[str]:
    own = [concerned[rip["surface"], rip["layer"]] for rip in rips]
    width = sum(strip_width(one, answer, rip) for one, rip in zip(own, rips, strict=True))
    width += (len(rips) - 1) * layer.rule("kerf")
    grooves = sum(rip["rip"] in ("tongue", "far") for rip in rips)
    tongues = sum(rip["rip"] in ("groove", "near") for rip in rips)
    turns = layer.overall == layer.coverage
    laws = {
        "rips are wider than their board": width <= layer.overall + 4 * slack(layer.unit),
        "an edge is used twice": (
            grooves + tongues <= 2 if turns else grooves <= 1 and tongues <= 1
        ),
        "a whole board is shared": all(rip["rip"] != "none" for rip in rips),
        "one is longer than the first": all(rip["ticks"] <= rips[0]["ticks"] for rip in rips),
    }
    return [law for law, held in laws.items() if not held]


def strip_width(layer: Layer, answer: Row, piece: Row) -> int:
    """The width to which the run of a piece is ripped, with the tongue or lap that stays on it."""
    (run,) = (row for row in answer["runs"] if row["id"] == piece["run"])
    keeps = piece["rip"] in ("groove", "near")
    face = abs(ticks(run["far"], layer.unit) - ticks(run["near"], layer.unit))
    return face + (layer.overall - layer.coverage if keeps else 0)


def _near(printed: list[int], exact: list[int], give: int) -> bool:
    pairs = zip(printed, exact, strict=False)
    return len(printed) == len(exact) and all(abs(one - other) <= give for one, other in pairs)


def placement(answer: Row) -> list[str]:
    """Each placed piece is cut from one stick, the stick that it names, and none is invented."""
    places = Counter(piece for row in answer["sticks"] for piece in from_stick(row))
    named = {piece: row["stick"] for row in answer["sticks"] for piece in from_stick(row)}
    placed = {piece["id"]: piece["stick"] for piece in answer["pieces"]}
    found = [f"{piece}: in {places[piece]} sticks" for piece in placed if places[piece] != 1]
    found += [f"{piece}: cut but not placed" for piece in places if piece not in placed]
    found += [f"{piece}: names another stick" for piece in placed
              if piece in named and named[piece] != placed[piece]]  # fmt: skip
    return found if len(placed) == len(answer["pieces"]) else [*found, "an id stands twice"]


# --- runs --------------------------------------------------------------------------------------


def _ordered(layer: Layer, answer: Row) -> dict[str, list[Row]]:
    """Pieces by run, from the low end up."""
    found: dict[str, list[Row]] = {}
    for piece in rows(answer, "pieces", layer):
        found.setdefault(piece["run"], []).append(piece)
    for pieces in found.values():
        pieces.sort(key=lambda piece: ticks(piece["from"], layer.unit))
    return found


def runs(layer: Layer, answer: Row) -> list[str]:
    """Pieces of a run follow one another from end to end; none is too short or bears too little."""
    by_run, found = _ordered(layer, answer), []
    relaxed = {row["key"] for row in answer["relaxed"]}
    for row in rows(answer, "runs", layer):
        pieces = by_run.pop(row["id"], [])
        found += [f"{row['id']}: {fault}" for fault in _run(layer, row, pieces, relaxed)]
    return found + [f"{run}: pieces without a run" for run in by_run]


def _run(layer: Layer, row: Row, pieces: list[Row], relaxed: set[str]) -> list[str]:
    unit, give = layer.unit, 2 * slack(layer.unit)
    if len(pieces) != row["pieces"] or not pieces:
        return [f"{len(pieces)} pieces, {row['pieces']} stated"]
    stations = [(ticks(p["from"], unit), ticks(p["to"], unit)) for p in pieces]
    found = [] if abs(stations[0][0] - ticks(row["from"], unit)) <= give else ["low end"]
    found += [] if abs(stations[-1][1] - ticks(row["to"], unit)) <= give else ["high end"]
    found += ["pieces do not meet" for (_, a), (b, _) in pairwise(stations) if abs(a - b) > give]
    found += [f for p, s in zip(pieces, stations, strict=True) for f in _length(layer, p, s)]
    return found if len(pieces) == 1 else found + _least(layer, pieces, relaxed)


def _length(layer: Layer, piece: Row, station: Span) -> list[str]:
    """A cut length is the extent rounded at its end, and at a joint to the nearest step."""
    step, give = layer.rule("cut_to") * 3 // 2, 2 * slack(layer.unit)
    over = piece["ticks"] - (station[1] - station[0])
    return [] if abs(over) <= step + give else [f"{piece['id']}: cut {over} off its extent"]


def _least(layer: Layer, pieces: list[Row], relaxed: set[str]) -> list[str]:
    found = []
    for piece in pieces:
        if piece["ticks"] < layer.rule("min_piece") and "min_piece" not in relaxed:
            found.append(f"{piece['id']}: shorter than the least piece")
        open_framing = layer.joints in ("framing", "framing_or_block")
        touched = crossings(layer, piece)[1]
        least = layer.value("min_bearings")
        if open_framing and touched < least and "min_bearings" not in relaxed:
            found.append(f"{piece['id']}: bears on {touched}")
    return found


# --- joints ------------------------------------------------------------------------------------


def joints(layer: Layer, answer: Row) -> list[str]:
    """Every meeting of two pieces is a joint row, and every joint on framing has its bearing."""
    met = {
        (low["id"], high["id"]): ticks(low["to"], layer.unit)
        for pieces in _ordered(layer, answer).values()
        for low, high in pairwise(pieces)
    }
    stated = {tuple(row["between"]): row for row in rows(answer, "joints", layer)}
    found = [f"{pair}: not stated" for pair in met if pair not in stated]
    found += [f"{pair}: no such meeting" for pair in stated if pair not in met]
    for pair, row in stated.items():
        if pair in met and abs(ticks(row["at"], layer.unit) - met[pair]) > 2 * slack(layer.unit):
            found.append(f"{pair}: stated elsewhere")
    bearing = layer.square and layer.joints == "framing"
    if not bearing:
        return found
    middles = {row["course"]: (ticks(row["near"], layer.unit) + ticks(row["far"], layer.unit)) / 2
               for row in rows(answer, "courses", layer)}  # fmt: skip
    return found + [f for row in stated.values() for f in _bears(layer, row, middles)]


def _bears(layer: Layer, row: Row, middles: dict[int, float]) -> list[str]:
    """Along the middle of its course, which a taper turns a little against the members."""
    at, give = ticks(row["at"], layer.unit), layer.rule("cut_to") // 2 + slack(layer.unit)
    across = middles[row["course"]]
    held = [m for m in layer.members if abs(at - m.centre(across)) <= _tolerance(layer, m) + give]
    fits = any(_tolerance(layer, member) >= 0 for member in held)
    return [] if fits else [f"{row['between']}: joint at {at} is on no bearing"]


def _tolerance(layer: Layer, member: Member) -> float:
    return member.half - layer.rule("end_bearing")


def _joints_by_course(layer: Layer, answer: Row) -> dict[int, list[tuple[int, Span]]]:
    """Joints of each course with the extent of the run that each lies in."""
    extents = {
        run: (ticks(pieces[0]["from"], layer.unit), ticks(pieces[-1]["to"], layer.unit))
        for run, pieces in _ordered(layer, answer).items()
    }
    run_of = {row["id"]: row["run"] for row in rows(answer, "pieces", layer)}
    found: dict[int, list[tuple[int, Span]]] = {}
    for row in rows(answer, "joints", layer):
        run = run_of[row["between"][0]]
        found.setdefault(row["course"], []).append((ticks(row["at"], layer.unit), extents[run]))
    return found


def stagger(layer: Layer, answer: Row) -> list[str]:
    """Joints of touching courses keep apart; a station does not come back after one course."""
    relaxed = {row["key"] for row in answer["relaxed"]}
    by_course = _joints_by_course(layer, answer)
    found = []
    for key, step in (("stagger", 1), ("repeat", 2)):
        for course, own in by_course.items():
            if key not in relaxed:
                found += _close(layer, key, course, own, by_course.get(course + step, []))
    return found


def _close(
    layer: Layer, key: str, course: int, own: list[tuple[int, Span]], others: list[tuple[int, Span]]
) -> list[str]:
    least = layer.rule(key) - 2 * slack(layer.unit)
    return [
        f"{key}: course {course} at {at}, then at {other}"
        for at, span in own
        for other, beside in others
        if abs(at - other) < least and span[0] < beside[1] and beside[0] < span[1]
    ]


def violations(courses: list[list[int]], least: int, step: int) -> int:
    """How many joints lie nearer than `least` to a joint `step` courses on."""
    pairs = zip(courses, courses[step:], strict=False)
    return sum(abs(a - b) < least for one, other in pairs for a in one for b in other)
