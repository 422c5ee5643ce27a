"""Sheets in rows: panels across the members, behind what is laid on them."""

from pathlib import Path

from service.products.goods.sheet.spec import SheetProduct
from service.products.kind import Caution, Kind
from service.products.kinds.sheathing.backing import back
from service.products.kinds.sheathing.drawing import draw
from service.products.kinds.sheathing.fastening import fasten
from service.products.kinds.sheathing.fastening_again import fasten_again
from service.products.kinds.sheathing.landing import landed_on
from service.products.kinds.sheathing.laws import violations
from service.products.kinds.sheathing.laying import lay
from service.products.kinds.sheathing.opening_up import open_up
from service.products.kinds.sheathing.placing import Share, needs, place
from service.products.kinds.sheathing.records import LaidSheets, PlacedSheets
from service.products.kinds.sheathing.rulings import SheathingRulings
from service.products.kinds.sheathing.settling import settle
from service.products.kinds.sheathing.spec import SheathingLayer, SheathingRules
from service.products.kinds.sheathing.tape import seal_again
from service.products.nouns import LayerNouns

KIND: Kind[SheathingLayer, SheetProduct, SheathingRulings, LaidSheets, Share, PlacedSheets] = Kind(
    name="sheathing",
    title="Sheets in rows",
    layer=SheathingLayer,
    rules=SheathingRules,
    rulings=SheathingRulings,
    named={
        "product": "sheet",
        "tape": "tape",
        "fastening/product": "fastener",
        "fastening/clip": "clip",
        "strips/seams": "lumber",
        "strips/ends": "lumber",
        "strips/fastener": "fastener",
    },
    lay=lay,
    settle=settle,
    landed_on=landed_on,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    back=back,
    violations=violations,
    open_up=open_up,
    fasten_again=fasten_again,
    seal_again=seal_again,
    folder=Path(__file__).parent,
    nouns=LayerNouns(
        course="row",
        first="Snap a line {far} {from}: far edge of row {number}.",
        begin=(
            "Row {number} is {width} wide; its pieces from the low end: {pieces} long.",
            "Lay whole sheets over openings and cut them in place; ends meet on a {support}'s "
            "centre with the gap asked for.",
        ),
        decide=("blocks-needed", "edges-unsupported", "sheets-trimmed", "strip-narrow"),
        usual=("sheet-length-lost",),
    ),
    cautions=(
        Caution(
            "Sheets overhead are heavy: lift them with two people or a lift, and brace them until "
            "they are nailed.",
            ("ceiling", "soffit"),
        ),
        Caution(
            "A sheet over an opening in a floor hides a hole: mark, secure and guard it until it "
            "is framed.",
            ("floor", "deck"),
        ),
    ),
    not_computed=(
        "which grade, span rating and thickness of sheet the framing and the loads ask for",
    ),
)
