"""What a kind of layer is: its shapes, and the functions that lay, supply, fasten and draw it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, TypeVar

from service.products.backing import Backer
from service.products.drawing import DrawnLayer
from service.products.form import Need
from service.products.layer import AnyLaid, AnyPlaced, AnyTask, Books, Layer, Product, Task
from service.products.nouns import LayerNouns
from service.products.remarks import Remarks
from service.products.rows import ConsumableRow, FastenerRow
from service.products.rulings import Rulings
from service.products.standing import OpenedUp, Opening, Reopened

LayerSpec = TypeVar("LayerSpec", bound=Layer)
ProductSpec = TypeVar("ProductSpec", bound=Product)
Rules = TypeVar("Rules", bound=Rulings)
Laid = TypeVar("Laid", bound=AnyLaid)
Placed = TypeVar("Placed", bound=AnyPlaced)
Share = TypeVar("Share")


def nothing_behind(placed: AnyPlaced) -> Sequence[Backer]:
    """Nothing must stand behind this kind of layer."""
    return ()


def nowhere(laid: AnyLaid, shares: Sequence[object]) -> Collection[int]:
    """Pieces of this kind of layer meet on nothing that it bears on."""
    return ()


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence on what may go wrong on site, and on which types of surface; on any if none.

    `source` is published, or common practice.
    """

    text: str
    on: tuple[str, ...] = ()
    source: str = "common practice"

    def concerns(self, surface: str) -> bool:
        """Whether it is for surfaces of that type."""
        return not self.on or surface in self.on


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind(Generic[LayerSpec, ProductSpec, Rules, Laid, Share, Placed]):
    """One kind of layer.

    `lay` places a layer on its surface; `needs` says what it wants of which products; `place` makes
    its pieces from its shares of their plans, one for each need, and enters them in the ledger of
    each product; `fasten` counts fasteners over the pieces; `draw` marks them on the surface's
    sheet; `violations` names the kind's own laws that they break, which no answer may. `named` says
    where in a layer products are named, and of what form of stock each must be; `also` names
    another form that serves there as well. `rules` are what can be sent, `rulings` the rules and
    choices as they hold for a layer. `back` says what must stand behind the placed layer; it moves
    nothing. `nouns` are its words on paper.

    A kind whose layers can be jointed with the stock of their product, and not each alone, has
    `settle`: the layer with the joints that the product's form chose, and all that is to be said
    of them. How such a layer is laid must not hang on where joints behind it lie: it is not laid
    anew when these move. `landed_on` says on which of the lines that it bears on pieces of a laid
    layer meet, by their places in its ground, from such shares as are planned. A kind of which
    others bear may be told that: `bear` gives the layer as it is then. What it offers must stay as
    it was. `along_edges`: it takes what edges are long, not what areas are wide.
    `lies_flat`: it makes its surface as much thicker as its product is.

    `open_up` says what stays of a placed layer, some of which is up, where a change lays it
    otherwise (21.4); a kind without it is taken down whole. `fasten_again` counts what holds those
    parts anew: at ends that are cut in place, in what is put back, and over new work behind; and
    `seal_again` the tape round openings of such ids, of a layer of which nothing is laid anew.
    """

    name: str
    title: str
    layer: type[LayerSpec]
    rules: type
    rulings: type[Rules]
    named: Mapping[str, str]
    lay: Callable[[Task[LayerSpec, ProductSpec, Rules], Remarks], Laid]
    needs: Callable[[Laid], Sequence[Need[AnyTask, object, Share]]]
    place: Callable[[Laid, Sequence[Share], Books, Remarks], Placed]
    fasten: Callable[[Placed, Remarks], Sequence[FastenerRow]]
    draw: Callable[[Placed, str], DrawnLayer]
    violations: Callable[[Placed], Sequence[str]]
    folder: Path
    also: Mapping[str, str] = field(default_factory=dict)
    back: Callable[[Placed], Sequence[Backer]] = nothing_behind
    settle: Callable[[Laid, Any, Remarks], Laid] | None = None  # what is chosen is the form's own
    landed_on: Callable[[Laid, Sequence[Share]], Collection[int]] = nowhere
    bear: Callable[[Laid, Collection[int]], Laid] | None = None
    nouns: LayerNouns = field(default_factory=LayerNouns)
    along_edges: bool = False
    lies_flat: bool = True
    open_up: Callable[[Placed, Laid, Opening], OpenedUp] | None = None
    fasten_again: Callable[[Placed, Placed, Reopened, Remarks], Sequence[FastenerRow]] | None = None
    seal_again: Callable[[Laid, frozenset[str]], Sequence[ConsumableRow]] | None = None
    cautions: tuple[Caution, ...] = ()
    not_computed: tuple[str, ...] = ()

    @property
    def forms(self) -> frozenset[str]:
        """Every form of stock that it takes."""
        return frozenset((*self.named.values(), *self.also.values()))

    def serves(self, place: str) -> tuple[str, ...]:
        """The forms of stock that may be named at a place of a layer."""
        return tuple(form for form in (self.named[place], self.also.get(place)) if form)

    @property
    def defaults_path(self) -> Path:
        """The kind's table of defaults."""
        return self.folder / "tables" / "defaults.toml"


AnyKind = Kind[Any, Any, Any, Any, Any, Any]  # what a kind lays is its own; the registry has many
"""A kind of whatever layer."""
