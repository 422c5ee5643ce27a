"""The ledger's pages, by hand: what is shared follows what each surface's pieces take (19.2)."""

import pytest

from service.errors import LawBroken
from service.ledger.book import Ledger


def made(**pages: int) -> Ledger:
    """A ledger with so much installed on each surface."""
    book = Ledger("pine")
    for surface, amount in pages.items():
        book.of(surface).enter("installed", amount)
    return book


def test_what_is_common_is_shared_by_what_the_pieces_take() -> None:
    """12 of kerf over 300 and 100 are 9 and 3; each keeps what is its own."""
    book = made(wall=300, soffit=100)
    book.enter("kerf", 12)
    book.of("soffit").enter("kerf", 1)
    assert book.shares() == (
        ("wall", "installed", 300), ("wall", "kerf", 9),
        ("soffit", "installed", 100), ("soffit", "kerf", 4),
    )  # fmt: skip


def test_a_surface_whose_pieces_take_nothing_bears_nothing() -> None:
    """Also where rounding of cut lengths left less than nothing on its page."""
    book = made(wall=3, soffit=0, gable=0)
    book.of("gable").enter("fit", -2)
    book.enter("surplus", 50)
    assert book.shares() == (
        ("wall", "installed", 3), ("wall", "surplus", 50), ("gable", "fit", -2),
    )  # fmt: skip


def test_a_ledger_closes_on_what_was_bought_and_on_nothing_else() -> None:
    book = made(wall=300)
    book.enter("kerf", 12)
    book.close(312)
    with pytest.raises(LawBroken, match="ledger of pine is off by 2 half square ticks"):
        book.close(310)
    with pytest.raises(LawBroken, match="no such account: sawdust"):
        book.enter("sawdust", 1)
