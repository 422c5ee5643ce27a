"""The section of what trim is made of, a moulding or a board with square edges (4.6, 17)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.errors import Cure, Fault, TradeRefused
from service.products.goods.board.spec import BoardProduct
from service.products.goods.moulding.rulings import lapped_at, squared
from service.products.kinds.trim.rulings import Task, of_boards, of_mouldings
from service.products.stock import StartTrim, Trimming


@dataclass(frozen=True, slots=True)
class Section:
    """Ticks: how wide and thick it is, and how far it reaches from its wall over the surface.

    `flange` is how much of its width laps what is laid beside it; `free_area` its net free vent
    area by the length, None where none is known.
    """

    width: int
    thickness: int
    reach: int
    flange: int = 0
    free_area: Fraction | None = None

    @property
    def slot(self) -> int:
        """How much of its width nothing is laid under."""
        return self.width - 2 * self.flange


def section_of(task: Task) -> Section:
    """The section of the product of a layer of trim."""
    product = task.product
    if isinstance(product, BoardProduct):
        return Section(product.overall, product.thickness, product.overall)
    return Section(
        width=product.width,
        thickness=product.thickness,
        reach=product.reach,
        flange=product.flange or 0,
        free_area=product.free_area,
    )


def check_section(task: Task) -> None:
    """Refuse boards whose edges are worked: trim shows both of its edges (4.6)."""
    product = task.product
    if isinstance(product, BoardProduct) and product.profile != "square_edge":
        at = f"{task.product_pointer}/profile"
        text = (
            f"trim of boards is made of such with square edges, and those of {product.id} are "
            "worked: give the trim a product of its own"
        )
        cure = Cure(at, "square_edge")
        raise TradeRefused(Fault("trim-needs-square-edges", text, at, cure=cure, rule="4.6"))


def angle_of_joints(task: Task) -> float:
    """Degrees off square at which two pieces of a line meet: boards butt (7.1)."""
    mouldings = of_mouldings(task)
    return 0.0 if mouldings is None else lapped_at(mouldings)


def trimming_of(task: Task) -> Trimming:
    """What is trimmed off its sticks: a moulding is squared once, a board at both ends (17.2)."""
    mouldings, boards = of_mouldings(task), of_boards(task)
    if mouldings is not None:
        return StartTrim(squared(mouldings))
    assert boards is not None
    return task.rules.trims(boards.product)
