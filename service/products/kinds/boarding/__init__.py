"""Boards in courses: tongue-and-groove, shiplap, square-edged or lapped."""

from pathlib import Path

from service.products.kind import Kind
from service.products.kinds.boarding.backing import back
from service.products.kinds.boarding.drawing import draw
from service.products.kinds.boarding.fastening.schedule import fasten
from service.products.kinds.boarding.joining.jointing import needs
from service.products.kinds.boarding.laws import violations
from service.products.kinds.boarding.laying.lay import lay
from service.products.kinds.boarding.rows.placing import place
from service.products.kinds.boarding.rulings import BoardingRulings
from service.products.kinds.boarding.spec import BoardingLayer, BoardingRules

KIND = Kind(
    name="boarding",
    title="Boards in courses",
    layer=BoardingLayer,
    rules=BoardingRules,
    rulings=BoardingRulings,
    named={"product": "board", "fastening/product": "fastener"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    back=back,
    violations=violations,
    folder=Path(__file__).parent,
    cautions=(
        "Overhead work: wear eye protection, work from staging, and keep hands clear of nails "
        "driven upward.",
        "Boards, framing and cavity must be dry; follow the printed instruction of the product "
        "in hand, the drawings and the local code before any default used here.",
        "Keep the clearances to lights, heaters and vents that their own sheets ask for; this "
        "service only leaves out the openings that were entered.",
    ),
    not_computed=(
        "hold of fasteners in pounds, wind uplift and the weight that the framing carries",
        "acclimating, moisture movement and the spacer that follows from it",
        "whether blocks, nailers and headers are enough: they are counted where that is asked for",
        "trim, coatings and labour",
    ),
)
