"""Sticks from which skins of box beams are ripped and cut, verified from the answer's own tables.

Skins lie side by side in their board, each as wide as its part, with a saw cut between them; those
of one crosscut are no longer than the first. Nothing here knows the service.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from tests.independent.measure import INCH, ticks

Table = dict[str, Any]

KERF, EDGE, JOINT = INCH // 8, INCH // 8, INCH // 4
"""The usual saw cut, what of an eased edge is ripped off, and what of a raw end is squared off."""


def faults(request: Table, answer: Table) -> list[str]:
    """Everything that is wrong with the sticks of skins, in words; of sheets there are none."""
    return [
        fault
        for surface in request["surfaces"]
        for layer in surface["layers"]
        if layer["kind"] == "box_beams"
        for fault in _layer(request, surface, layer, answer)
    ]


def _rule(request: Table, surface: Table, layer: Table, key: str, usual: int) -> int:
    """A length among the rules, the nearest one."""
    for level in (layer, surface, request):
        if key in level.get("rules", {}):
            return ticks(level["rules"][key], request["unit"])
    return usual


def _layer(request: Table, surface: Table, layer: Table, answer: Table) -> Iterator[str]:
    (product,) = (one for one in request["products"] if one["id"] == layer["product"])
    if product["form"] != "board":
        return
    unit, name = request["unit"], (surface["id"], layer.get("id", layer["kind"]))
    parts = [row for row in answer["beam_parts"]
             if (row["surface"], row["layer"]) == name and row["part"] != "core"]  # fmt: skip
    wide = {piece: ticks(row["width"], unit) for row in parts for piece in row["pieces"]}
    long = {row["id"]: row["ticks"] for row in answer["pieces"]}
    kerf = _rule(request, surface, layer, "kerf", KERF)
    eased = _rule(request, surface, layer, "edge_trim", EDGE) if layer.get("square_edges") else 0
    trim = _rule(request, surface, layer, "end_trim",
                 _rule(request, surface, layer, "joint_trim", JOINT))  # fmt: skip
    stock = {ticks(one["length"], unit) for one in product["stock"]}
    cut: Counter[str] = Counter()
    for row in answer["sticks"]:
        own = [[lead, *beside] for lead, beside in zip(row["pieces"], row["beside"], strict=True)]
        cut.update(piece for strips in own for piece in strips if piece in wide)
        if row["product"] != product["id"] or any(p not in wide for strips in own for p in strips):
            continue  # of other layers, or shared with them
        laws = {
            "is of no stock length": row["ticks"]["length"] in stock or row["owned"],
            "is too narrow": all(
                sum(wide[p] for p in strips) + kerf * (len(strips) - 1) + eased
                <= ticks(product["overall"], unit) + 4
                for strips in own
            ),
            "has a strip longer than its first": all(
                long[p] <= long[strips[0]] for strips in own for p in strips
            ),
            "does not add up": _adds_up(row["ticks"], [long[strips[0]] for strips in own], kerf),
            "is trimmed otherwise": row["ticks"]["end_trim"] == 2 * trim,
        }
        yield from (f"{row['stick']} {law}" for law, held in laws.items() if not held)
    if cut != Counter(wide.keys()):
        yield f"{set(wide) ^ set(cut)}, or one of them twice, is cut from no stick or from two"


def _adds_up(exact: dict[str, int], cuts: list[int], kerf: int) -> bool:
    """Cuts, a saw cut after each but where the stick ends, trims and rest are the stick."""
    left = exact["length"] - exact["end_trim"] - sum(cuts) - kerf * (len(cuts) - 1)
    saw = kerf * (len(cuts) - 1) + max(0, min(kerf, left))
    return left >= 0 and exact["kerf"] == saw and exact["offcut"] == max(0, left - kerf)
