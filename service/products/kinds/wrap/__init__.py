"""House wrap in widths of a roll, with its tape and cap fasteners."""

from pathlib import Path

from service.products.kind import Caution, Kind
from service.products.kinds.wrap.drawing import draw
from service.products.kinds.wrap.fastening import fasten, fasten_again
from service.products.kinds.wrap.laws import violations
from service.products.kinds.wrap.laying import lay, settle
from service.products.kinds.wrap.opening_up import open_up
from service.products.kinds.wrap.placing import needs, place
from service.products.kinds.wrap.rulings import WrapRulings
from service.products.kinds.wrap.spec import WrapLayer, WrapRules
from service.products.kinds.wrap.tape import seal_again
from service.products.nouns import LayerNouns

KIND = Kind(
    name="wrap",
    title="House wrap in widths",
    layer=WrapLayer,
    rules=WrapRules,
    rulings=WrapRulings,
    named={"product": "roll", "tape": "tape", "fastening/product": "fastener"},
    lay=lay,
    settle=settle,
    needs=needs,
    place=place,
    fasten=fasten,
    draw=draw,
    violations=violations,
    open_up=open_up,
    fasten_again=fasten_again,
    seal_again=seal_again,
    folder=Path(__file__).parent,
    nouns=LayerNouns(
        course="run",
        first="Unroll {direction}, the far edge {far} {from}.",
        begin=(
            "Run {number} lies from {near} to {far}, seen facing the finished side.",
            "Each further run laps {lap}.",
            "Tape laps and openings, then cover it as soon as it is dry.",
        ),
        decide=("lap-short", "laps-against-water", "width-for-turn-down"),
        usual=("laps-shed-water",),
    ),
    cautions=(
        Caution(
            "Wrap is no walking surface and no roof: it is slippery, and it sheds water only when "
            "lapped and taped as its printed instruction says."
        ),
    ),
    not_computed=(
        "whether the build-up needs a water or vapour barrier there, and of which class",
    ),
)
