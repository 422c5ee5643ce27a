"""A board's actual sizes, and what its profile implies."""

from __future__ import annotations

from dataclasses import dataclass

from service.products.goods.board.spec import BoardProduct


@dataclass(frozen=True, slots=True)
class Board:
    """Actual sizes in ticks.

    `grooved` is how deep the edge towards the start is grooved or rabbeted; 0 for square edges
    and lapped boards.
    """

    overall: int
    coverage: int
    thickness: int
    grooved: int
    has_tongue: bool
    end_matched: bool
    lapped: bool

    @property
    def lap(self) -> int:
        """What the next board covers."""
        return self.overall - self.coverage


def board_of(product: BoardProduct) -> Board:
    """The board of a product as it is sent, whether its sizes can be or not."""
    coverage = _coverage(product)
    return Board(
        overall=product.overall,
        coverage=coverage,
        thickness=product.thickness,
        grooved=_grooved(product, coverage),
        has_tongue=product.profile == "tongue_and_groove",
        end_matched=product.ends == "end_matched",
        lapped=product.profile == "lapped",
    )


def _coverage(product: BoardProduct) -> int:
    """Coverage as sent, or overall less tongue or lap (2.1)."""
    if product.coverage is not None:
        return product.coverage
    part = product.tongue if product.tongue is not None else product.lap
    return product.overall - (part or 0)


def _grooved(product: BoardProduct, coverage: int) -> int:
    if product.profile in ("square_edge", "lapped"):
        return 0
    return product.overall - coverage if product.groove_depth is None else product.groove_depth
