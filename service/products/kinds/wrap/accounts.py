"""What each piece takes of its roll, account by account of the ledger."""

from __future__ import annotations

from collections.abc import Sequence

from service.geometry.plane import difference, intersection
from service.geometry.rings import Polygon, rectangle, twice_area
from service.ledger.book import Ledger, Page
from service.products.kinds.wrap.records import Bay, LaidWrap, WrapPiece


def account_for(layer: LaidWrap, pieces: Sequence[WrapPiece], ledger: Ledger) -> None:
    """What each piece of a layer takes of its roll, account by account."""
    page = ledger.of(layer.task.surface.id)
    for piece in pieces:
        _piece(page, layer, piece, layer.task.product.width)


def _piece(page: Page, layer: LaidWrap, piece: WrapPiece, width: int) -> None:
    """One piece: what it covers, its laps and turn-downs, what is cut off and cut out."""
    bay = layer.detail.bays[piece.strip.bay]
    low, high, near, far = piece.zone
    whole, zone = 2 * width * (piece.high - piece.low), 2 * (high - low) * (far - near)
    on = twice_area(piece.covers)
    turned, ripped = (0, 0) if on == zone else _at_edges(bay, piece)
    page.enter("lap_or_tongue", whole - zone + turned)
    page.enter("rip", ripped)
    page.enter("notch", piece.cut)
    page.enter("installed", on - piece.cut)
    page.enter("snap", zone - turned - ripped - on)


def _at_edges(bay: Bay, piece: WrapPiece) -> tuple[int, int]:
    """Twice the areas of a piece's zone that are turned down, and that reach further."""
    low, high, near, far = piece.zone
    box = (Polygon(rectangle(low, near, high, far)),)
    reached = intersection(bay.cover, box)
    beyond = difference(box, reached)
    # An opening that is left out of the wrap lies beyond the cover too, and is no rip.
    ripped = twice_area(beyond) - twice_area(intersection(beyond, piece.covers))
    return twice_area(difference(reached, bay.outline)), ripped
