"""Box beams: skins on cores, through and butting, and the bays that they leave (5.9, 16)."""

from pathlib import Path

from service.products.goods.board.spec import BoardProduct
from service.products.goods.sheet.spec import SheetProduct
from service.products.kind import Caution, Kind
from service.products.kinds.box_beams.backing import back
from service.products.kinds.box_beams.drawing import draw
from service.products.kinds.box_beams.fastening import fasten, fasten_again
from service.products.kinds.box_beams.laws import violations
from service.products.kinds.box_beams.laying import lay
from service.products.kinds.box_beams.opening_up import open_up
from service.products.kinds.box_beams.placing import Share, needs, place
from service.products.kinds.box_beams.records import LaidBoxBeams, PlacedBoxBeams
from service.products.kinds.box_beams.rulings import BoxBeamRulings
from service.products.kinds.box_beams.spec import BoxBeamLayer, BoxBeamRules
from service.products.nouns import LayerNouns

KIND: Kind[
    BoxBeamLayer,
    BoardProduct | SheetProduct,
    BoxBeamRulings,
    LaidBoxBeams,
    Share,
    PlacedBoxBeams,
] = Kind(
    name="box_beams",
    title="Box beams and the bays between them",
    layer=BoxBeamLayer,
    rules=BoxBeamRules,
    rulings=BoxBeamRulings,
    named={
        "product": "board",
        "core": "lumber",
        "fastening/product": "fastener",
        "fastening/core": "fastener",
    },
    also={"product": "sheet"},
    lay=lay,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    back=back,
    open_up=open_up,
    lies_flat=False,
    fasten_again=fasten_again,
    violations=violations,
    folder=Path(__file__).parent,
    nouns=LayerNouns(
        course="beam",
        first="Snap the centre line of beam {number} {line}, and its faces {width} apart.",
        begin=(
            "Fix the cores first, through ones before those that butt, and check that bays are as "
            "wide as listed.",
        ),
        decide=("beam-crosses-opening", "core-other-width", "no-core", "no-core-fastener"),
        usual=("opening-under-beam",),
    ),
    cautions=(
        Caution(
            "A box beam hangs by its core: fix that to every member that it crosses, or to blocks "
            "between them, never to boards or panels alone."
        ),
    ),
    not_computed=("what box beams, their cores and fixings carry",),
)
