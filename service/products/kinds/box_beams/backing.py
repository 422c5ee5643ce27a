"""What must stand behind beams: blocks between members (15.6)."""

from __future__ import annotations

from service.products.backing import Backer
from service.products.kinds.box_beams.ladders import blocks_of
from service.products.kinds.box_beams.records import PlacedBoxBeams


def back(placed: PlacedBoxBeams) -> tuple[Backer, ...]:
    """Blocks over every beam; none unless they are counted."""
    layer = placed.laid
    if layer.task.rules.backing != "count":
        return ()
    found = (block for beam in layer.detail.beams for block in blocks_of(layer, beam))
    return tuple(dict.fromkeys(found))
