"""What layers want of products: nothing at all is an answer too."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from service.products.layer import AnyLaid, AnyPlaced, Books, Placed
from service.products.remarks import Remarks
from service.request.reading import read
from service.takeoff.supplying import supply_all

SMALL = Path(__file__).parents[2] / "openapi" / "examples" / "small.json"


def needs_nothing(layer: AnyLaid) -> tuple[Any, ...]:
    return ()


def placed_bare(layer: AnyLaid, shares: Sequence[Any], books: Books, said: Remarks) -> AnyPlaced:
    assert not shares
    return Placed(laid=layer, detail=None)


def test_a_layer_that_wants_nothing_is_placed_and_nothing_is_bought_for_it() -> None:
    """Alone, and beside one that wants the same product."""
    request = json.loads(SMALL.read_text(encoding="utf-8"))
    first = request["surfaces"][0]
    request["surfaces"] = [first, first | {"id": "other"}]
    job = read(json.dumps(request).encode())
    laid = [(one, one.kind.lay(one.task, Remarks())) for one in job.layers]
    bare = replace(laid[0][0].kind, needs=needs_nothing, place=placed_bare)
    without = [(replace(one, kind=bare), layer) for one, layer in laid]
    assert supply_all(job, without, Remarks()) == []
    (made,) = supply_all(job, [without[0], laid[1]], Remarks())
    assert [bool(one.pieces) for one in made.placed] == [False, True]
    (alone,) = supply_all(job, laid[1:], Remarks())
    assert [row.bought.buy for row in made.order] == [row.bought.buy for row in alone.order]
