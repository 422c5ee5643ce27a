"""Where the length of each piece goes: along the wall, into mitres and scarfs, into rounding."""

from __future__ import annotations

from service.ledger.book import Page
from service.products.goods.moulding.needs import Sawn
from service.products.kinds.trim.records import TrimLength


def account_for(one: TrimLength, sawn: Sawn, page: Page) -> None:
    """Book one length: its wall is installed, what its corners add mitre, what scarfs lap lap."""
    adds, laps = one.line.adds[0] + one.line.adds[1], one.line.lap * len(sawn.joints)
    page.enter("installed", one.line.length)
    page.enter("mitre", adds)
    page.enter("lap_or_tongue", laps)
    page.enter("fit", sum(sawn.cuts) - one.line.length - adds - laps)
