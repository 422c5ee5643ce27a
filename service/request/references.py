"""Ids that are used twice, and products that are named and are not there or of another form.

They are found in the JSON itself, so that they are told beside whatever is wrong with its shape.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from service.errors import Fault, meant
from service.products.goods.board import FORM as BOARD
from service.products.goods.coating import FORM as COATING
from service.products.goods.fastener import FORM as FASTENER
from service.products.goods.lumber import FORM as LUMBER
from service.products.goods.piece_goods import FORM as PIECE_GOODS
from service.products.goods.sealant import FORM as SEALANT
from service.products.registry import all_kinds, forms

BACKING: Final = {"nailers": LUMBER.name, "nailer_fastener": FASTENER.name}
"""The form of what nailers are cut of, and of what holds them."""

RING: Final = {"ring": PIECE_GOODS.name}
"""The form of what trims an opening."""

FINISHING: Final = {"coats": COATING.name, "beads": SEALANT.name}
"""The form of what each list of a layer's finish names."""

_ID: Final = re.compile(r"[a-z0-9_-]{1,32}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Place:
    """A JSON object of the request, and the pointer to it."""

    at: str
    object: Mapping[str, Any]

    def inside(self, key: str) -> list[Place]:
        """The objects of the list `key`; what is of another shape is left out."""
        listed = self.object.get(key)
        ones = enumerate(listed if isinstance(listed, list) else ())
        return [Place(f"{self.at}/{key}/{k}", one) for k, one in ones if isinstance(one, dict)]

    def part(self, key: str) -> Place:
        """The object `key`; an empty one where what stands there is of another shape."""
        found = self.object.get(key)
        return Place(f"{self.at}/{key}", found if isinstance(found, dict) else {})

    def word(self, way: str) -> str | None:
        """The sound id at `way`, as `fastening/product`; None where none stands there."""
        spot: Any = self.object
        for key in way.split("/"):
            spot = spot.get(key) if isinstance(spot, dict) else None
        return spot if isinstance(spot, str) and _ID.fullmatch(spot) else None


def reference_faults(asked: object) -> list[Fault]:
    """Every id that is used twice, and every name of a product that does not stand for one."""
    whole = Place("", asked if isinstance(asked, dict) else {})
    surfaces, products = whole.inside("surfaces"), whole.inside("products")
    faults = [*_twice(products, "products"), *_twice(surfaces, "surfaces")]
    known = {name: one.word("form") for one in products if (name := one.word("id"))}
    for place in (whole, *surfaces):
        faults += _unnamed(place, BACKING, known)
    for boards in whole.part("moisture").inside("boards"):
        faults += _unnamed(boards, {"product": BOARD.name}, known)
    for surface in surfaces:
        faults += _twice(surface.inside("openings"), "openings")
        for opening in surface.inside("openings"):
            faults += _unnamed(opening, RING, known)
        faults += _twice(surface.inside("layers"), "layers")
        for layer in surface.inside("layers"):
            faults += _of_layer(layer, known)
            for key, form in FINISHING.items():
                for one in layer.inside(key):
                    faults += _of_form(one, "product", (form,), known)
            faults += _of_form(layer.part("filler"), "product", (SEALANT.name,), known)
    return faults


def _twice(ones: list[Place], goods: str) -> Iterator[Fault]:
    """Ids that an earlier one of the list has; a layer without an id is called by its kind."""
    seen: set[str] = set()
    for one in ones:
        name = one.word("id") or (one.word("kind") if goods == "layers" else None)
        if name in seen:
            yield _used_twice(goods, str(name), f"{one.at}/id")
        seen |= {name} if name else set()


def _used_twice(goods: str, name: str, at: str) -> Fault:
    if goods != "products":
        return Fault("id-twice", f"two {goods} have the id {name}", at)
    text = (
        f"two products have the id {name}: give one of them another id, or where both are the same "
        "goods list all lengths in the `stock` of one, a length as often as it has prices"
    )
    return Fault("product-twice", text, at)


def _of_layer(layer: Place, known: Mapping[str, Any]) -> Iterator[Fault]:
    """Names in a layer that its kind has no use for; none where the kind is not known."""
    kind = all_kinds().get(str(layer.object.get("kind")))
    if kind is not None:
        for way in kind.named:
            yield from _of_form(layer, way, kind.serves(way), known)


def _unnamed(place: Place, named: Mapping[str, str], known: Mapping[str, Any]) -> Iterator[Fault]:
    """Names in a place that are no product's, or one's of a form that does not serve there."""
    for way, wanted in named.items():
        yield from _of_form(place, way, (wanted,), known)


def _of_form(
    place: Place, way: str, wanted: Sequence[str], known: Mapping[str, Any]
) -> Iterator[Fault]:
    """A name that is no product's, or one's of another form than are `wanted` there."""
    name, at = place.word(way), f"{place.at}/{way}"
    if name is None:
        return
    if name not in known:
        yield Fault("no-such-product", f"no product has the id {name}: {meant(name, known)}", at)
    elif known[name] not in wanted and known[name] in forms():
        forms_wanted = " or ".join(wanted)
        text = f"a product of the form {forms_wanted} is needed here; {name} is a {known[name]}"
        yield Fault("wrong-form", text, at)
