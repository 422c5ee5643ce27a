"""Trim: mouldings along walls and bays, frames round openings, corner boards."""

from pathlib import Path

from service.products.goods.board.spec import BoardProduct
from service.products.goods.moulding.spec import MouldingProduct
from service.products.kind import Caution, Kind
from service.products.kinds.trim.drawing import draw
from service.products.kinds.trim.fastening import fasten, fasten_again
from service.products.kinds.trim.laws import violations
from service.products.kinds.trim.laying import lay
from service.products.kinds.trim.opening_up import open_up
from service.products.kinds.trim.placing import Share, needs, place
from service.products.kinds.trim.records import LaidTrim, PlacedTrim
from service.products.kinds.trim.rulings import TrimRulings
from service.products.kinds.trim.spec import TrimLayer, TrimRules
from service.products.nouns import LayerNouns

KIND: Kind[TrimLayer, MouldingProduct | BoardProduct, TrimRulings, LaidTrim, Share, PlacedTrim] = (
    Kind(
        name="trim",
        title="Mouldings, frames and corner boards",
        layer=TrimLayer,
        rules=TrimRules,
        rulings=TrimRulings,
        named={"product": "moulding", "fastening/product": "fastener"},
        also={"product": "board"},
        lay=lay,
        needs=needs,
        place=place,
        fasten=fasten,
        draw=draw,
        open_up=open_up,
        lies_flat=False,
        fasten_again=fasten_again,
        violations=violations,
        folder=Path(__file__).parent,
        nouns=LayerNouns(
            course="length",
            first="Snap a line {line}: back edge of the strip.",
            begin=("Set the strip in before what ends beside it.",),
            decide=(
                "free-area-short",
                "free-area-unknown",
                "moulding-narrow",
                "not-framed",
                "scarf-off-member",
                "strip-over-layers",
            ),
        ),
        along_edges=True,
        cautions=(
            Caution(
                "Try the saw on two short pieces in the first corner: hardly any corner is square."
            ),
        ),
        not_computed=("the bend of trim out of the plane of its surface, as at a ridge",),
    )
)
