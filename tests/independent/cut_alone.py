"""A verifier of answers to cut plans, in whole ticks; imports nothing of the service."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise, product
from math import hypot, radians, tan
from typing import Any

from tests.independent.measure import ticks

Row = dict[str, Any]
Ends = tuple[bool, bool]
"""Whether the left and the right end of a piece are covered."""


def faults(request: Row, answer: Row) -> list[str]:
    """What is wrong with the sticks, the counts, the order and the ledger of a cut plan."""
    return [
        *_pieces(request, answer),
        *(fault for stick in answer["sticks"] for fault in _matched(request, stick)),
        *(fault for stick in answer["sticks"] for fault in _stick(request, stick)),
        *_order(request, answer),
        *_ledger(answer),
    ]


def named(request: Row) -> dict[str, tuple[int, Ends]]:
    """Length and ends of every piece that is asked for, by its name."""
    found = {}
    for k, line in enumerate(request["pieces"]):
        low, high = line.get("ends") or ("square", "square")
        name = line.get("id") or f"p{k + 1}"
        for number in range(line.get("count") or 1):
            covered = low == "covered", high == "covered"
            found[f"{name}.{number + 1}"] = ticks(line["length"], request["unit"]), covered
    return found


def _pieces(request: Row, answer: Row) -> Iterator[str]:
    """Each piece comes once, as long as it was asked for."""
    wanted = Counter((name, length) for name, (length, _) in named(request).items())
    unit = request["unit"]
    cut = Counter(
        (name, ticks(length, unit))
        for stick in answer["sticks"]
        for name, length in zip(stick["pieces"], stick["cuts"], strict=True)
    )
    for (name, length), count in ((cut - wanted) + (wanted - cut)).items():
        yield f"{name} of {length} is cut or missing {count} times too often"


def _matched(request: Row, stick: Row) -> Iterator[str]:
    """An end as the mill matched it lies at that end of its stick, of which nothing is trimmed."""
    lines = {row.get("id") or f"p{k + 1}": row for k, row in enumerate(request["pieces"])}
    ends = [lines[name.rpartition(".")[0]].get("ends") or () for name in stick["pieces"]]
    if not any("matched" in own for own in ends):
        return
    if any(own[0] == "matched" for own in ends[1:]) or any(
        own[1] == "matched" for own in ends[:-1]
    ):
        yield f"{stick['stick']}: a matched end lies within it"
    if stick["ticks"]["end_trim"]:
        yield f"{stick['stick']}: a matched end is trimmed"
    if ["matched", "matched"] in ends and stick["ticks"]["pieces"] != stick["ticks"]["length"]:
        yield f"{stick['stick']}: a whole stick was cut"


def _stick(request: Row, stick: Row) -> Iterator[str]:
    """Pieces, saw cuts, the trims that the rules ask for at least, and the rest make the stick."""
    parts, unit = stick["ticks"], request["unit"]
    if parts["pieces"] + parts["kerf"] + parts["end_trim"] + parts["offcut"] != parts["length"]:
        yield f"{stick['stick']} does not add up: {parts}"
    kerf = _rule(request, "kerf", "1/8 in")
    if stick["laps"]:
        yield from _shared(request, stick, kerf)
        return
    between = kerf * (len(stick["pieces"]) - 1)
    last = min(kerf, parts["length"] - parts["end_trim"] - parts["pieces"] - between)
    if parts["kerf"] != between + last:
        yield f"{stick['stick']}: {parts['kerf']} of saw cuts, not {between + last}"
    if parts["end_trim"] < _least_trim(request, stick):
        yield f"{stick['stick']} is trimmed by {parts['end_trim']} only"
    lengths = {ticks(row["length"], unit) for row in _rows(request)}
    if parts["length"] not in lengths or min(parts.values()) < 0:
        yield f"{stick['stick']} is no stick that there is"


def _shared(request: Row, stick: Row, kerf: int) -> Iterator[str]:
    """Pieces some of which overlap lie clear of each other on both edges, by what the saw takes."""
    unit, wanted = request["unit"], slants(request)
    laps = [ticks(lap, unit) for lap in stick["laps"]]
    face = ticks(request["width"], unit)
    saws = [round(kerf * hypot(face, lap) / face) for lap in laps]
    last = stick["ticks"]["kerf"] - sum(saws)
    give = 4 * len(laps) + 4
    if not -give <= last <= kerf + give or (stick["ticks"]["offcut"] and last < kerf - give):
        yield f"{stick['stick']}: the saw takes {stick['ticks']['kerf']}, its cuts {sum(saws)}"
    turns = request.get("profile") in (None, "square_edge")
    ways = [(own, half_round(own)) if turns else (own,)
            for own in (wanted[name] for name in stick["pieces"])]  # fmt: skip
    if len(laps) != len(stick["pieces"]) - 1 or not any(
        all(
            one[1][edge] + other[0][edge] >= lap - give
            for (one, other), lap in zip(pairwise(order), laps, strict=True)
            for edge in (0, 1)
        )
        for order in product(*ways)
    ):
        yield f"{stick['stick']}: pieces lie over each other"


Slants = tuple[tuple[int, int], tuple[int, int]]
"""How far the left end lies behind its long point at the near and the far edge; then the right."""


def slants(request: Row) -> dict[str, Slants]:
    """The ends of every piece, by its name; 0 where one is square."""
    face = ticks(request.get("width") or 0, request["unit"])

    def end(sent: object) -> tuple[int, int]:
        if not isinstance(sent, dict):
            return 0, 0
        behind = round(face * tan(radians(sent["mitre"])))
        return (0, behind) if sent["long"] == "near" else (behind, 0)

    found = {}
    for k, line in enumerate(request["pieces"]):
        low, high = line.get("ends") or ("square", "square")
        name = line.get("id") or f"p{k + 1}"
        for number in range(line.get("count") or 1):
            found[f"{name}.{number + 1}"] = end(low), end(high)
    return found


def half_round(own: Slants) -> Slants:
    """A piece turned half round in its plane: its ends change places, and its edges do."""
    low, high = own
    return high[::-1], low[::-1]


def _least_trim(request: Row, stick: Row) -> int:
    """What the raw ends lose at least, by the pieces that lie there (8.1, 8.4).

    Of stock listed raw and cut alike in one length it is not known which was taken.
    """
    if any("matched" in (line.get("ends") or ()) for line in request["pieces"]):
        return 0
    unit, wanted = request["unit"], named(request)
    ends = [wanted[name][1] for name in stick["pieces"]]
    turns = request.get("profile") in (None, "square_edge")
    found = []
    for row in _rows(request):
        if ticks(row["length"], unit) == stick["ticks"]["length"]:
            raw = [end == "raw" for end in row.get("ends") or ("raw", "raw")]
            found += [_trim(request, pair, raw) for pair in _outer(ends, turns=turns)]
    return min(found, default=0)


def _outer(ends: Sequence[Ends], *, turns: bool) -> Iterator[Ends]:
    """Which ends can lie at the two ends of a stick: those of its first and its last piece."""
    first, last = ends[0], ends[-1]
    if len(ends) == 1:
        yield first
        if turns:
            yield first[::-1]
        return
    yield from product(first if turns else first[:1], last if turns else last[1:])


def _trim(request: Row, covered: Ends, raw: Sequence[bool]) -> int:
    rules = request.get("rules") or {}
    if "end_trim" in rules:
        return _rule(request, "end_trim", "0 in") * sum(raw)
    square, wall = _rule(request, "joint_trim", "1/4 in"), _rule(request, "wall_trim", "0 in")
    return sum(
        (wall if hidden else square) for hidden, mill in zip(covered, raw, strict=True) if mill
    )


def _rule(request: Row, key: str, default: str) -> int:
    sent = (request.get("rules") or {}).get(key)
    return ticks(default if sent is None else sent, request["unit"])


def _rows(request: Row) -> list[Row]:
    return [*request["stock"], *(request.get("owned") or ())]


def _order(request: Row, answer: Row) -> Iterator[str]:
    """What is bought is what is cut, less what is owned, with culls, spares and whole multiples."""
    unit = request["unit"]
    cut = Counter(stick["length"] for stick in answer["sticks"] if not stick["owned"])
    need = Counter({row["length"]: 0 for row in answer["order"]})
    for row in answer["order"]:
        need[row["length"]] += row["need"]
        if row["buy"] < row["need"] + row["cull"] + row["spare"]:
            yield f"{row['item']}: {row['buy']} bought"
    if +need != +cut:
        yield f"{need} ordered, {cut} cut"
    own = Counter(stick["length"] for stick in answer["sticks"] if stick["owned"])
    there: Counter[float] = Counter()
    for row in request.get("owned") or ():
        there[round(ticks(row["length"], unit) / (ticks(1, unit)), 6)] += row["count"]
    if own - there:
        yield f"{own} of {there} owned are used"


def _ledger(answer: Row) -> Iterator[str]:
    bought = sum(ticks(row["length"], answer["units"]["length"]) * row["buy"]
                 for row in answer["order"])  # fmt: skip
    booked = sum(int(row["amount"]) for row in answer["ledger"])
    if booked != bought:
        yield f"{booked} booked, {bought} bought"


def bought_length(answer: Row) -> int:
    """Ticks of all sticks that are cut."""
    return sum(stick["ticks"]["length"] for stick in answer["sticks"])
