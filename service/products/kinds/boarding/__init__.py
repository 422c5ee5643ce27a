"""Boards in courses: tongue-and-groove, shiplap, square-edged or lapped."""

from pathlib import Path

from service.products.goods.board.spec import BoardProduct
from service.products.kind import Caution, Kind
from service.products.kinds.boarding.backing import back
from service.products.kinds.boarding.drawing import draw
from service.products.kinds.boarding.fastening.again import fasten_again
from service.products.kinds.boarding.fastening.schedule import fasten
from service.products.kinds.boarding.joining.jointing import needs
from service.products.kinds.boarding.joining.landing import landed_on
from service.products.kinds.boarding.laws import violations
from service.products.kinds.boarding.laying.lay import lay
from service.products.kinds.boarding.opening_up import open_up
from service.products.kinds.boarding.records import LaidBoards, PlacedBoards
from service.products.kinds.boarding.rows.placing import Share, place
from service.products.kinds.boarding.rulings import BoardingRulings
from service.products.kinds.boarding.spec import BoardingLayer, BoardingRules
from service.products.nouns import LayerNouns

KIND: Kind[BoardingLayer, BoardProduct, BoardingRulings, LaidBoards, Share, PlacedBoards] = Kind(
    name="boarding",
    title="Boards in courses",
    layer=BoardingLayer,
    rules=BoardingRules,
    rulings=BoardingRulings,
    named={
        "product": "board",
        "starter": "lumber",
        "fastening/product": "fastener",
        "fastening/clip": "clip",
    },
    lay=lay,
    landed_on=landed_on,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    back=back,
    violations=violations,
    open_up=open_up,
    fasten_again=fasten_again,
    folder=Path(__file__).parent,
    nouns=LayerNouns(
        decide=(
            "blind-too-wide",
            "corner-ripped",
            "end-narrow",
            "ends-hang",
            "feature-missed",
            "glue-not-named",
            "held-by-panel",
            "lap-nailed-through",
            "leg-unbacked",
            "part-left-out",
            "piece-unheld",
            "rim-ripped",
            "rip-small",
            "run-dropped",
            "smooth-nail-in-panel",
        ),
        usual=(
            "cut-to-line",
            "ends-on-panel",
            "ends-square",
            "exposures-by-zone",
            "h-joint",
            "joint-on-panel-joint",
            "last-course-drop-in",
            "leg-cut-out",
            "outer-edge-ripped",
            "rips-shared",
            "cuts-shared",
            "staircase",
            "starter-strip",
        ),
    ),
    cautions=(
        Caution(
            "Overhead work: wear eye protection and keep hands clear of nails driven upward.",
            ("ceiling", "soffit"),
        ),
        Caution(
            "Boards, framing and cavity must be dry; follow the printed instruction of the product "
            "in hand, the drawings and the local code before any default used here."
        ),
    ),
    not_computed=(
        "hold of fasteners in pounds, wind uplift and the weight that the framing carries",
        "how boards move, where nothing was sent of their moisture (`moisture`)",
        "whether blocks, nailers and headers are enough: they are counted where that is asked for",
        "hours but by rates that are sent",
    ),
)
