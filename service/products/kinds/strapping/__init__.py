"""Straps (furring) across the members: level lines on which what follows is fastened."""

from pathlib import Path

from service.products.kind import Caution, Kind
from service.products.kinds.strapping.drawing import draw
from service.products.kinds.strapping.fastening import fasten, fasten_again
from service.products.kinds.strapping.laws import violations
from service.products.kinds.strapping.laying import bear, lay
from service.products.kinds.strapping.opening_up import open_up
from service.products.kinds.strapping.placing import needs, place
from service.products.kinds.strapping.rulings import StrappingRulings
from service.products.kinds.strapping.spec import StrappingLayer, StrappingRules
from service.products.nouns import LayerNouns

KIND = Kind(
    name="strapping",
    title="Straps across the members",
    layer=StrappingLayer,
    rules=StrappingRules,
    rulings=StrappingRulings,
    named={"product": "lumber", "fastening/product": "fastener"},
    lay=lay,
    bear=bear,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    open_up=open_up,
    fasten_again=fasten_again,
    violations=violations,
    folder=Path(__file__).parent,
    nouns=LayerNouns(
        course="strap",
        bearing="strap",
        first="Snap a line {far} {from}: far edge of strap {number}.",
        begin=(
            "Strap {number} lies from {near} to {far}; its pieces from the low end: {pieces} long.",
            "Splice on a {support}'s centre, next lines on another {support}.",
        ),
        decide=("strap-loose", "strap-narrow"),
    ),
    cautions=(
        Caution(
            "What hangs on straps hangs on their fasteners alone: drive every one into a member.",
            ("ceiling", "soffit"),
        ),
    ),
    not_computed=("whether straps and their fasteners carry what hangs on them",),
)
