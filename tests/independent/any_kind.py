"""What an answer owes whatever its layers are: recomputed from its own tables and the request.

Nothing here knows a kind of layer, a form of stock or the service.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from tests.independent.measure import ticks

Table = dict[str, Any]


def faults(request: Table, answer: Table) -> list[str]:
    """Everything that does not add up, in words; none in a sound answer."""
    checks = (_numbers, _layers, _pieces, _sticks, _sheets, _runs, _ledger, _shares, _order,
              _fastened, _names)  # fmt: skip
    return [fault for check in checks for fault in check(request, answer)]


def _numbers(_request: Table, answer: Table) -> Iterator[str]:
    """Every number is one that can be reckoned with."""
    waiting: list[Any] = [answer]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict):
            waiting += node.values()
        elif isinstance(node, list):
            waiting += node
        elif isinstance(node, float) and not math.isfinite(node):
            yield f"a figure is {node}"


def asked(request: Table) -> list[tuple[str, str, str]]:
    """Surface, layer and product of every layer that is asked for."""
    return [
        (surface["id"], layer.get("id", layer["kind"]), layer["product"])
        for surface in request["surfaces"]
        for layer in surface["layers"]
    ]


def _layers(request: Table, answer: Table) -> Iterator[str]:
    """Each layer that was asked for is told once, with the pieces and courses that it has."""
    told = [(row["surface"], row["layer"], row["product"]) for row in answer["layers"]]
    if sorted(told) != sorted(asked(request)):
        yield f"asked for {asked(request)}, told of {told}"
    pieces = Counter((row["surface"], row["layer"]) for row in answer["pieces"])
    for row in answer["layers"]:
        if row["pieces"] != pieces[row["surface"], row["layer"]]:
            yield f"{row['layer']} has {row['pieces']} pieces, and as many are not listed"


def _pieces(_request: Table, answer: Table) -> Iterator[str]:
    """Pieces cover what is installed, and their names are their own (23.2)."""
    ids = Counter(row["id"] for row in answer["pieces"])
    yield from (f"{name} is the name of {many} pieces" for name, many in ids.items() if many > 1)
    for layer in answer["layers"]:
        own = [row for row in answer["pieces"] if _place(row) == _place(layer)]
        covered = math.fsum(row["area"] for row in own)
        if own and abs(covered - layer["installed"]) > 1e-6 * (len(own) + layer["installed"] + 1):
            yield f"the pieces of {layer['layer']} cover {covered}, not {layer['installed']}"


def _place(row: Table) -> tuple[str, str]:
    return row["surface"], row["layer"]


def _sticks(_request: Table, answer: Table) -> Iterator[str]:
    """Each piece comes from one stick or sheet, the one that it names; sticks add up (23.3)."""
    held = Counter(name for row in answer["sheets"] for name in row["pieces"])
    for row in answer["sticks"]:
        held.update([*row["pieces"], *(name for names in row["beside"] for name in names)])
        own = row["ticks"]
        if own["pieces"] + own["kerf"] + own["end_trim"] + own["offcut"] != own["length"]:
            yield f"stick {row['stick']} does not add up"
        if min(own.values()) < 0:
            yield f"stick {row['stick']} has less than nothing of something"
    laid = Counter(row["id"] for row in answer["pieces"])
    laid.update(name for row in answer["backing"] for name in row["pieces"])
    if held != laid:
        yield "not every piece comes from one stick or sheet"
    sources = {row["stick"] for row in answer["sticks"]} | {
        row["sheet"] for row in answer["sheets"]
    }
    yield from (f"{row['id']} names no stick" for row in answer["pieces"]
                if row["stick"] not in sources)  # fmt: skip


def _sheets(_request: Table, answer: Table) -> Iterator[str]:
    """Pieces, cuts and rests are the sheet (23.3)."""
    for row in answer["sheets"]:
        parts = {name: int(area) for name, area in row["half_square_ticks"].items()}
        if parts.pop("sheet") != sum(parts.values()):
            yield f"sheet {row['sheet']} does not add up"


def _runs(_request: Table, answer: Table) -> Iterator[str]:
    """A run goes from its first piece's end to its last one's, `gap` between them (23.4)."""
    give = 2e-6
    for run in answer["runs"]:
        own = [row for row in answer["pieces"] if row["run"] == run["id"]]
        ends = [(row["from"], row["to"]) for row in own]
        if len(own) != run["pieces"] or (own[0]["from"], own[-1]["to"]) != (run["from"], run["to"]):
            yield f"run {run['id']} is not made up of its pieces"
        elif any(abs(b[0] - a[1] - run["gap"]) > give for a, b in pairwise(ends)):
            yield f"the pieces of run {run['id']} do not follow each other"


def bought_twice(request: Table, answer: Table, product: Table) -> int:
    """What is bought of a product in half square ticks: lengths as sent, by its width over all."""
    unit = request["unit"]
    wide = ticks(product.get("overall", product.get("width")), unit)
    return 2 * wide * length_bought(request, answer, product)


def length_bought(request: Table, answer: Table, product: Table) -> int:
    """The length that is bought of a product, from the lengths as sent, in ticks."""
    unit = request["unit"]
    stock = product.get("stock") or [{"length": product["length"]}]
    lengths = [ticks(one["length"], unit) for one in stock]
    total = 0
    for row in (row for row in answer["order"] if row["product"] == product["id"]):
        printed = ticks(row["length"], unit)
        total += row["buy"] * min(lengths, key=lambda one: abs(one - printed))
    return total


BOUGHT: dict[str, Callable[[Table, Table, Table], int]] = {
    "area": bought_twice,
    "length": length_bought,
}
"""What is bought of a product, by what its ledger is kept in."""


def _ledger(request: Table, answer: Table) -> Iterator[str]:
    """Every layer's product has accounts, and they are all that was bought, to the tick (23.6)."""
    for product in request["products"]:
        if product["id"] not in {name for _, _, name in asked(request)}:
            continue
        rows = [row for row in answer["ledger"] if row["product"] == product["id"]]
        booked = sum(int(row["amount"]) for row in rows)
        (measure,) = {row["measure"] for row in rows} or {"area"}
        bought = BOUGHT[measure](request, answer, product)
        if booked != bought:
            yield f"the ledger of {product['id']} holds {booked}, and {bought} were bought"


def _shares(_request: Table, answer: Table) -> Iterator[str]:
    """What falls to the surfaces is the whole, account by account and line by line (19.2)."""
    whole = Counter[tuple[str, str]]()
    for row in answer["ledger"]:
        whole[row["product"], row["account"]] += int(row["amount"])
    for row in answer["ledger_shares"]:
        whole[row["product"], row["account"]] -= int(row["amount"])
    lines = Counter[str]()
    for row in answer["order"]:
        lines[row["item"]] += row["buy"]
    for row in answer["order_shares"]:
        lines[row["item"]] -= row["buy"]
    yield from (f"the shares of {name} do not add up" for name, left in
                [*whole.items(), *lines.items()] if left)  # fmt: skip


def _order(_request: Table, answer: Table) -> Iterator[str]:
    """What is bought is what is needed, with culls, spares and losses, and what is left over.

    What the caller owns is cut beside it, and told apart.
    """
    for row in answer["order"]:
        used = row["need"] + row["cull"] + row["spare"] + row["loss"]
        if row["buy"] < used or row["left_over"] < 0:
            yield f"{row['buy']} of {row['item']} are bought, and {used} are used"
    every = [*answer["sticks"], *answer["sheets"]]
    cut, own = (
        Counter((row["product"], row["length"]) for row in every if row["owned"] is owned)
        for owned in (False, True)
    )
    driven = Counter[tuple[str, float]]()
    for row in answer["fasteners"]:
        driven[row["product"], row["length"]] += row["count"]
    told = Counter[tuple[str, float]]()
    for row in answer["owned"]:
        told[row["product"], row["length"]] += row["used"]
    nails = Counter({name: many for name, many in told.items() if name in driven})
    if own != +told - nails:
        yield f"{own} are cut of what is owned, and {told} are told"
    need = Counter[tuple[str, float]]()
    for row in answer["order"]:
        need[row["product"], row["length"]] += row["need"]
    yield from (f"{many} of {name} are cut, and not so many needed" for name, many in cut.items()
                if need[name] < many)  # fmt: skip
    yield from (f"{driven[name]} of {name} are driven, and {nails[name]} of them owned"
                for name, many in need.items() if name in driven
                if many + nails[name] != driven[name])  # fmt: skip


def _fastened(_request: Table, answer: Table) -> Iterator[str]:
    """No layer has fewer fasteners than crossings, but where they stand at a spacing (23.5)."""
    for layer in answer["layers"]:
        own = [row for row in answer["fasteners"] if _place(row) == _place(layer)]
        spaced = any(row["spacing"] for row in own)
        if not spaced and sum(row["count"] for row in own) < layer["crossings"]:
            yield f"a crossing of {layer['layer']} is not fastened"


def _names(_request: Table, answer: Table) -> Iterator[str]:
    """What a row names is there."""
    pieces = {row["id"] for row in answer["pieces"]}
    for row in answer["joints"]:
        yield from (f"a joint names {name}" for name in row["between"] if name not in pieces)
    places = {_place(row) for row in answer["layers"]}
    for table in ("courses", "runs", "pieces", "joints", "fasteners", "consumables"):
        yield from (f"a row of {table} is of {_place(row)}" for row in answer[table]
                    if _place(row) not in places)  # fmt: skip
