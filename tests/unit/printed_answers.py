"""A flat answer made by hand for the tests of its text and its CSV: a room of courses in turn."""

from __future__ import annotations

from typing import Any

from service.products.registry import nouns
from service.report.printout.columns import USUAL
from service.report.printout.written import printout
from service.units.ticks import INCH

Row = dict[str, Any]
COVER, OVERALL = 5.125, 5.375


def printed(answer: Row, columns: int = USUAL) -> str:
    """An answer on paper, in the words of the kinds and forms that there are."""
    return printout(answer, nouns(), columns)


def answer(count: int = 24) -> Row:
    """A room 379 in long, `count` courses, balanced; joints at members 8 and 16 in turn."""
    courses = [_course(k, count) for k in range(1, count + 1)]
    pieces, joints, sticks = [], [], []
    for course in courses:
        at = (160.0, 192.0, 224.0)[course["course"] % 3]
        made = [_piece(course, 1, 0.5, at), _piece(course, 2, at, 379.5)]
        pieces += made
        joints.append(_joint(course, at, made))
        sticks += [_stick(piece) for piece in made]
    return {
        "version": {"service": "1.0.0", "rules": "1", "digest": "sha256:0"},
        "units": {"length": "in", "area": "ft2", "weight": "lb", "volume": "gal",
                  "money": "USD"},
        "summary": {"in_words": f"{count} courses of pine, {len(sticks)} sticks."},
        "surfaces": [{"surface": "loft", "type": "ceiling", "support": "joist",
                      "gross": 321.94, "openings": 0.0, "net": 321.94,
                      "outline": [[0, 0], [380, 0], [380, 122], [0, 122]], "beside": []}],
        "layers": [{"surface": "loft", "layer": "boards", "kind": "boarding",
                    "product": "pine", "direction": 0.0, "origin": [0.0, 0.0],
                    "across": [0.0, 1.0]}],
        "products": [{"product": "pine", "form": "board"}], "sheets": [], "consumables": [],
        "liquids": [], "random_lengths": [], "labour": [], "labour_totals": [], "delivery": [],
        "order_shares": [], "owned": [], "rule_costs": [], "backing": [], "shims": [],
        "moisture": [], "moisture_checks": [], "inspection": [],
        "trim_lengths": [],
        "beams": [], "beam_parts": [], "bays": [],
        "courses": courses, "pieces": pieces, "joints": joints, "sticks": sticks, "runs": [],
        "cut_plans": [{"product": "pine", "in_words": "Best found 48 sticks, bound 47."}],
        "fasteners": _fasteners(count), "order": order(len(sticks)), "ledger": ledger(),
        "compared": [{"product": "pine", "flat_pct": 10.0, "measured_in": "length",
                      "would_order": 9948.0, "bought": 9600.0, "wrong_by": 348.0,
                      "in_words": "A flat 10 % would order 829.0 ft."}],
        "findings": [_finding()],
        "relaxed": [{"rule": "6.5", "key": "stagger", "asked": 24, "used": 16,
                     "places": ["loft.boards.3"]}],
        "cautions": [{"about": "boarding", "surfaces": ["loft"], "source": "common practice",
                      "text": "Measure the boards' coverage before the first cut."}],
        "not_computed": ["Mouldings."], "alternatives": [], "basis": [], "request": None,
    }  # fmt: skip


def _course(number: int, count: int) -> Row:
    near = 0.5 if number == 1 else 0.5 + 4.125 + (number - 2) * COVER
    width = 4.125 if number in (1, count) else COVER
    rip = {1: "groove", count: "tongue"}.get(number, "none")
    return {"surface": "loft", "layer": "boards", "course": number, "near": near,
            "far": near + width, "width": width, "end_widths": [], "from_wall": [], "rip": rip,
            "tongue": "far",
            "lap": 0.0, "note": "drop in" if number == count else ""}  # fmt: skip


def _piece(course: Row, number: int, low: float, high: float) -> Row:
    name = f"loft.boards.{course['course']}.1.{number}"
    return {"id": name, "label": name.removeprefix("loft.boards."),
            "surface": "loft", "layer": "boards", "product": "pine",
            "course": course["course"], "from": low, "to": high, "length": high - low,
            "ends": ["square", "square"], "rip": course["rip"], "notches": 0, "holes": 0,
            "work": _ripped(course, high - low), "shape": []}  # fmt: skip


def _ripped(course: Row, length: float) -> list[Row]:
    if course["rip"] == "none":
        return []
    return [{"do": "rip", "edge": course["rip"], "end": "none", "from_left": 0.0, "length": length,
             "from_edge": None, "depth": None, "widths": [course["width"]] * 2, "angle": None,
             "to_line": False}]  # fmt: skip


def _joint(course: Row, at: float, pieces: list[Row]) -> Row:
    return {"surface": "loft", "layer": "boards", "course": course["course"],
            "between": [piece["id"] for piece in pieces], "at": at, "on": "framing",
            "bearing": int(at // 16) + 1}  # fmt: skip


def _stick(piece: Row) -> Row:
    length = next(each for each in (144.0, 192.0, 240.0) if each >= piece["length"] + 1)
    rest = length - piece["length"] - 1
    return {"stick": f"pine-{piece['id']}", "product": "pine", "length": length,
            "pieces": [piece["id"]], "beside": [[]], "laps": [], "cuts": [piece["length"]],
            "kerfs": 1, "kerf": 0.125, "end_trim": 1.0, "offcut": rest,
            "kept": rest >= 24, "owned": False}  # fmt: skip


def _fasteners(count: int) -> list[Row]:
    row = {"surface": "loft", "layer": "boards", "product": "nail", "spacing": None,
           "length": 2.0, "bite": 1.28, "depth": 0.9}  # fmt: skip
    return [
        {**row, "where": "field", "pattern": "blind", "place": "blind",
         "count": 25 * (count - 2) + count, "counted": "members crossed and joint ends"},
        {**row, "where": "first", "pattern": "blind", "place": "face", "count": 25,
         "counted": "members crossed"},
    ]  # fmt: skip


def order(sticks: int) -> list[Row]:
    """Two lines: boards, and nails in boxes."""
    board = {"product": "pine", "form": "board", "item": "pine 16' 0\"", "length": 192.0,
             "width": None, "need": sticks, "cull": 0, "spare": 2, "loss": 0, "buy": sticks + 2,
             "packages": sticks + 2, "per_package": 1, "left_over": 0, "price": 960.5,
             "pack": None, "volume": None, "left_volume": None,
             "weight": 812.4, "board_feet": None}  # fmt: skip
    nails = {"product": "nail", "form": "fastener", "item": "ring shank nail 2 in", "length": 2.0,
             "width": None, "need": 574, "cull": 0, "spare": 0, "loss": 29,
             "buy": 1000, "packages": 1, "per_package": 1000, "left_over": 397, "price": 21.0,
             "pack": None, "volume": None, "left_volume": None,
             "weight": None, "board_feet": None}  # fmt: skip
    return [board, nails]


def ledger() -> list[Row]:
    """Accounts of one product in square inches; they add up to 1000 x 5-3/8."""
    shares = {"installed": 880 * COVER, "lap_or_tongue": 880 * 0.25, "kerf": 6 * OVERALL,
              "end_trim": 48 * OVERALL, "short_offcut": 66 * OVERALL}  # fmt: skip
    return [
        {"product": "pine", "account": name, "area": area / 144, "length": area / OVERALL,
         "volume": None, "measure": "area", "half_square_ticks": str(int(2 * area * INCH**2)),
         "amount": str(int(2 * area * INCH**2))}
        for name, area in shares.items()
    ]  # fmt: skip


def _finding() -> Row:
    return {"code": "rip-small", "at": "loft.boards.1", "rule": "3.9", "measure": 1.5,
            "limit": 2.5625, "text": "The first course is narrower than is usual. " * 4,
            "cure": [{"op": "add", "path": "/surfaces/0/layers/0/start",
                      "value": "balanced"}]}  # fmt: skip
