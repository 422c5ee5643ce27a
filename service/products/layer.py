"""One layer on its way through a takeoff: asked for, laid, and placed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, Protocol, TypeVar

from service.geometry.frame import Frame
from service.geometry.surface import Surface
from service.ledger.book import Ledger
from service.products.beam_rows import BayRow, BeamPartRow, BeamRow
from service.products.gaps import Cover, OpenGap
from service.products.ground import Ground, Offered
from service.products.laid_rows import AlternativeRow, CourseRow, OpeningRow
from service.products.moving import Moving
from service.products.rows import ConsumableRow, JointRow, PieceRow, RunRow
from service.products.rulings import Rulings, StockRulings
from service.products.standing import Standing
from service.products.trim_rows import TrimRow, TrimTotalRow
from service.schemas.stock import Stocked


class Layer(Protocol):
    """What every layer of a request has, whatever its kind."""

    @property
    def kind(self) -> str:
        """The kind of layer that it is."""


class Product(Protocol):
    """What every product of a request has, whatever its form."""

    @property
    def id(self) -> str:
        """Its name in the request."""

    @property
    def form(self) -> str:
        """The form of stock that it is of."""


Layer_co = TypeVar("Layer_co", bound=Layer, covariant=True)
Product_co = TypeVar("Product_co", covariant=True)
Rulings_co = TypeVar("Rulings_co", bound=Rulings, covariant=True)
Named = TypeVar("Named")


@dataclass(frozen=True, slots=True)
class Task(Generic[Layer_co, Product_co, Rulings_co]):
    """One layer of one surface, ready to be laid.

    `layer` and `product` are the validated specs, `pointer` and `product_pointer` their places
    in the request, `products` all products by id with their pointers. `rules` are those of the
    layer as they hold for it, and `ground` is what it stands on and is laid on. What is
    `standing` of it is not laid again; None where nothing is.
    """

    layer: Layer_co
    layer_id: str
    product: Product_co
    rules: Rulings_co
    pointer: str
    product_pointer: str
    products: Mapping[str, tuple[Product, str]]
    relax: bool
    ground: Ground
    unit: str = "in"
    standing: Standing | None = None

    @property
    def surface(self) -> Surface:
        """The surface that it is laid on, as far as it is there for it."""
        return self.ground.surface

    @property
    def at(self) -> str:
        """`surface.layer`, the place of its findings."""
        return f"{self.surface.id}.{self.layer_id}"

    def named(self, name: str, shape: type[Named]) -> tuple[Named, str]:
        """A product that the layer names, of the shape of its form, and its pointer."""
        product, pointer = self.products[name]
        assert isinstance(product, shape), f"{name} is no {shape.__name__}"
        return product, pointer

    def taking(self, product: Named, pointer: str) -> Task[Layer_co, Named, Rulings_co]:
        """The same layer, as one that takes another of its products."""
        return Task(
            layer=self.layer,
            layer_id=self.layer_id,
            product=product,
            rules=self.rules,
            pointer=self.pointer,
            product_pointer=pointer,
            products=self.products,
            relax=self.relax,
            ground=self.ground,
            unit=self.unit,
            standing=self.standing,
        )


AnyTask = Task[Layer, Product, Rulings]
"""A layer of whatever kind and product."""


class StockTask(Protocol):
    """What takes stock in lengths: a layer of whatever kind, or pieces that are only cut."""

    @property
    def product(self) -> Stocked:
        """What the stock is of."""

    @property
    def rules(self) -> StockRulings:
        """The rules of its stock as they hold."""

    @property
    def product_pointer(self) -> str:
        """The place of the product in the request."""

    @property
    def unit(self) -> str:
        """The unit of the request."""


@dataclass(frozen=True, slots=True)
class Areas:
    """Twice the areas of one laid layer, square ticks.

    `region` is the surface less the gaps at its edges and openings; `installed` what the layer
    covers of it.
    """

    installed: int
    region: int


Task_co = TypeVar("Task_co", bound=AnyTask, covariant=True)
Detail_co = TypeVar("Detail_co", covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidLayer(Generic[Task_co, Detail_co]):
    """A layer on its surface; `detail` is the kind's own.

    No stock is chosen yet, nor joints that are chosen with it. A kind may have weighed ways of
    laying by what each would take if the layer shared its product with none; one that can `settle`
    is then given the joints that are best for all layers of the product.

    Layers laid on it see what it has `offered`, and nothing else of it. Stations of its rows are
    those of `frame`; `openings` say what is cut in it for each opening of the surface.

    `direction` is the direction used, degrees facing the finished side: 0 up to 180, or
    a little below 0 where a taper turned it. What runs `along_edges`, as trim does, covers no
    surface: what of that is installed is told of the layers beneath. `gaps` are those that a layer
    leaves to be covered at walls, `covers` what it covers there. `moving` is what its boards have
    to move in; None of what moisture does not move.
    """

    task: Task_co
    direction: Fraction
    frame: Frame
    areas: Areas
    openings: tuple[OpeningRow, ...]
    courses: tuple[CourseRow, ...]
    alternatives: tuple[AlternativeRow, ...]
    detail: Detail_co
    offered: Offered
    along_edges: bool = False
    gaps: tuple[OpenGap, ...] = ()
    covers: tuple[Cover, ...] = ()
    moving: Moving | None = None


AnyLaid = LaidLayer[AnyTask, object]
"""A laid layer of whatever kind."""

Laid_co = TypeVar("Laid_co", bound=AnyLaid, covariant=True)
Made_co = TypeVar("Made_co", covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed(Generic[Laid_co, Made_co]):
    """A laid layer with its pieces, joints and runs, after stock was chosen for them.

    `consumables` are used by length beside the layer itself, as tape is; they are pooled by their
    own product and ordered once. `trim_lengths` are those of what runs along edges; a layer of
    beams tells those, the `bays` between them and their parts. `detail` is the kind's own, None
    where it has none.
    """

    laid: Laid_co
    runs: tuple[RunRow, ...] = ()
    pieces: tuple[PieceRow, ...] = ()
    joints: tuple[JointRow, ...] = ()
    consumables: tuple[ConsumableRow, ...] = ()
    trim_lengths: tuple[TrimRow, ...] = ()
    trim_totals: tuple[TrimTotalRow, ...] = ()
    beams: tuple[BeamRow, ...] = ()
    bays: tuple[BayRow, ...] = ()
    beam_parts: tuple[BeamPartRow, ...] = ()
    detail: Made_co


AnyPlaced = Placed[AnyLaid, object]
"""A placed layer of whatever kind."""

Books = Mapping[str, Ledger]
"""The ledger of each product."""
