"""Where each piece goes: along the wall, into mitres and scarfs, into rounding."""

from __future__ import annotations

from service.ledger.book import Page
from service.products.goods.moulding.needs import Sawn
from service.products.kinds.trim.records import LaidTrim, TrimLength
from service.products.kinds.trim.rulings import of_boards


def account_for(layer: LaidTrim, one: TrimLength, sawn: Sawn, page: Page) -> None:
    """Book one length, by its length; of boards by area, as all that is cut of those."""
    boards = of_boards(layer.task)
    if boards is None:
        _by_length(one, sawn, page)
    else:
        _by_area(one, sawn, page, layer.detail.wide, boards.product.overall)


def _by_length(one: TrimLength, sawn: Sawn, page: Page) -> None:
    """Its wall is installed, what its corners add mitre, what scarfs lap lap."""
    adds, laps = one.line.extent - one.line.length, one.line.lap * len(sawn.joints)
    page.enter("installed", one.line.length)
    page.enter("mitre", adds)
    page.enter("lap_or_tongue", laps)
    page.enter("fit", sum(sawn.cuts) - one.line.length - adds - laps)


def _by_area(one: TrimLength, sawn: Sawn, page: Page, wide: int, overall: int) -> None:
    """What it covers is installed, what its slanted ends leave mitre, what a rip takes rip."""
    extent = one.line.extent
    covers = sum(strip.twice_area for strip in one.strips(wide, sawn.joints))
    page.enter("installed", covers)
    page.enter("mitre", 2 * extent * wide - covers)
    page.enter("rip", 2 * extent * (overall - wide))
    page.enter("fit", 2 * overall * (sum(sawn.cuts) - extent))
