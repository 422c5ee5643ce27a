"""The work layer by layer, on paper: where it goes, how it is cut, how it is fastened."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, TypeAlias

from service.products.nouns import Nouns, StockNouns
from service.report.printout.beams import beam_blocks
from service.report.printout.columns import Setting, blank, caption, heading, paragraph, table
from service.report.printout.courses import courses, joints
from service.report.printout.cuts import cut_list, sheets
from service.report.printout.first_work import going_on, past
from service.report.printout.framing import framing_of, said_of_framing
from service.report.printout.lengths import Lengths, area_unit, plain, volume
from service.report.printout.piece_names import shortened
from service.report.printout.rows import Row, is_of
from service.report.printout.saw_list import batches, saw_settings
from service.report.printout.trim import trim_blocks


def layer_sections(answer: Row, nouns: Nouns, lengths: Lengths) -> list[Setting]:
    """A section for each layer in the order of work; a product's cut list stands in its first.

    A layer may take several, as a beam takes boards for its skins and lumber for its core.
    """
    forms = {row["product"]: row["form"] for row in answer["products"]}
    cut: set[str] = set()
    lines: list[Setting] = []
    for number, layer in enumerate(answer["layers"], start=1):
        product = layer["product"]
        blocks = [("How to begin:", going_on(nouns, layer, answer, lengths))]
        beams = list(beam_blocks(answer, layer, lengths))
        blocks += beams or _placed(answer, layer, nouns, lengths)
        for one in _sawn(answer, layer):
            if one not in cut and one in forms:
                blocks += _cut(answer, layer, one, nouns.forms[forms[one]], lengths)
            cut.add(one)
        blocks += _fixed(answer, layer, lengths)
        lines += heading(f"{number}. {layer['surface']}.{layer['layer']}: {product}")
        lines += _parted(blocks)
    return lines


UNLAID: Final = "no board: a beam or the trim covers it"
"""Of a course that lies under a beam, or all parts of which are too short to board, as in a corner
of diagonal work."""

SAW_CAPTION: Final = "Rips, angles and notches, one setting after another; {bench}:"

Block: TypeAlias = tuple[str, list[Setting]]
"""A caption and the lines under it."""


def _parted(blocks: Sequence[Block]) -> list[Setting]:
    """Blocks with a caption each and an empty line between; those without lines are left out."""
    lines: list[Setting] = []
    for name, body in blocks:
        if body:
            lines += [*(blank() if lines else []), *caption(name, "  "), *body]
    return lines


def _placed(answer: Row, layer: Row, nouns: Nouns, lengths: Lengths) -> Iterator[Block]:
    """Where courses and joints lie."""
    word = nouns.kinds[layer["kind"]].course
    laid = {row["course"] for row in answer["pieces"] if is_of(row, layer)}
    rows = [
        row if row["course"] in laid else {**row, "rip": "none", "tongue": "none", "note": UNLAID}
        for row in answer["courses"]
        if is_of(row, layer)
    ]
    met = [row for row in answer["joints"] if is_of(row, layer)]
    yield f"{word.capitalize()}s:", courses(rows, word, past(answer, layer), lengths)
    if met:
        yield (
            f"Joints, all marks from one end: mark ({_borne_by(answer, layer, met, nouns)})",
            joints(met, lengths),
        )
    elif rows:
        yield "Joints:", paragraph("None: each run is one piece.", "    ")
    yield from trim_blocks(answer, layer, lengths)


def _borne_by(answer: Row, layer: Row, met: Sequence[Row], nouns: Nouns) -> str:
    """What the numbers of bearings count: members, what lies on them, or rows of blocks."""
    on = {row["on"] for row in met if row["bearing"] is not None}
    if on == {"block"}:
        return "row of blocks"
    own = [row for row in answer["layers"] if row["surface"] == layer["surface"]]
    behind = own[: own.index(layer)]
    bearing = [name for row in behind if (name := nouns.kinds[row["kind"]].bearing)]
    return bearing[-1] if bearing else framing_of(answer, layer)


def _sawn(answer: Row, layer: Row) -> list[str]:
    """The products that a layer's pieces are cut of, its own first."""
    pieces = {row["product"] for row in answer["pieces"] if is_of(row, layer)}
    return [layer["product"], *sorted(pieces - {layer["product"]})]


def _cut(
    answer: Row, layer: Row, product: str, stock: StockNouns, lengths: Lengths
) -> Iterator[Block]:
    """The cut list of one product of the layer, for all layers that use it."""
    word = stock.piece
    others = [
        f"{row['surface']}.{row['layer']}"
        for row in answer["layers"]
        if not is_of(row, layer) and product in _sawn(answer, row)
    ]
    of = "" if product == layer["product"] else f" of {product}"
    also = f" (also for {', '.join(others)})" if others else ""
    yield f"Sheets, and how they are sawn{also}:", sheets(answer, product, lengths)
    rows = cut_list(answer, product, word, lengths)
    yield f"Cut list{of} by {word}, longest first{also}:", rows
    if rows and word == "stick":
        yield f"Lengths{of}, one stop after another:", batches(answer, product, lengths)
    short = shortened(answer["pieces"])
    yield _bench(answer, product, stock), saw_settings(answer, product, short, lengths)


def _bench(answer: Row, product: str, stock: StockNouns) -> str:
    """How the pieces of a product lie at the saw: the tongue is told of boards that have one."""
    layers = [row for row in answer["layers"] if row["product"] == product]
    courses = (row for row in answer["courses"] if any(is_of(row, one) for one in layers))
    tongued = any(row["tongue"] != "none" for row in courses)
    bench = stock.bench.format(tongue=" (the tongue)" if tongued else "")
    return SAW_CAPTION.format(bench=bench)


def _fixed(answer: Row, layer: Row, lengths: Lengths) -> Iterator[Block]:
    """Tape and the like, and the fasteners with what was counted."""
    used = [row for row in answer["consumables"] if is_of(row, layer)]
    yield "Used by length:", _by_length(used, lengths)
    liquid = [row for row in answer["liquids"] if is_of(row, layer)]
    yield "Paint, sealant, filler and glue:", _liquids(liquid, answer["units"], lengths)
    driven = [row for row in answer["fasteners"] if is_of(row, layer)]
    yield _schedule(driven), _fasteners(driven, framing_of(answer, layer), lengths)


def _by_length(rows: Sequence[Row], lengths: Lengths) -> list[Setting]:
    cells = [
        [lengths.total(row["length"]), row["product"] or "", row["where"], row["counted"]]
        for row in rows
    ]
    return table(("length", "product", "where", "what was measured"), cells, "rlll")


def _liquids(rows: Sequence[Row], units: Row, lengths: Lengths) -> list[Setting]:
    """How much goes where; what is lost in tubes comes with the order."""
    cells = [
        [
            volume(row["volume"], units["volume"]), row["product"],
            f"{row['times']} {_USES[row['use']]}{'s' * (row['times'] != 1)}", row["where"],
            _extent(row, units, lengths), row["counted"],
        ]
        for row in rows
    ]  # fmt: skip
    heads = ("takes", "product", "how many", "where", "of", "what was measured")
    return table(heads, cells, "rlllrl")


_USES: Final = {"coat": "coat", "bead": "bead", "fill": "hole"}
"""What a liquid goes on as, or into."""


def _extent(row: Row, units: Row, lengths: Lengths) -> str:
    """How wide or how long a coat or a bead is; nothing of holes."""
    if row["area"] is not None:
        return f"{plain(row['area'])} {area_unit(units)}"
    return "" if row["length"] is None else lengths.total(row["length"])


WHERE_CALLED: Final = {
    "leg": "cut-out, off framing", "lost tongue": "ripped edge (no tongue)",
    "notch": "cut-out, narrow", "open edge": "starting edge, no board before it",
    "framed leg": "cut-out, on its frame",
}  # fmt: skip
"""Places of fasteners that a carpenter calls otherwise."""


_PATTERNS: Final = {
    "blind": "blind, in the tongue", "blind_face": "blind and face", "face": "face",
    "lap": "clear of the board beneath", "deck_face": "two in each at a joist",
    "glue_pin": "glued and pinned", "rows": "in rows", "clips": "clips at seams", "caps": "caps",
}  # fmt: skip
"""What patterns of fasteners are called on site, where that is not their name."""


def _schedule(rows: Sequence[Row]) -> str:
    """The caption of a layer's fasteners, with the patterns that they follow."""
    patterns = dict.fromkeys(row["pattern"] for row in rows if row["where"] != "backing")
    told = [_PATTERNS.get(one, one.replace("_", " ")) for one in patterns]
    return f"Fasteners ({', '.join(told)}):" if told else "Fasteners:"


def _all_of(rows: Sequence[Row], lengths: Lengths) -> list[list[str]]:
    """How many there are of each length of each product, where that is told on several lines."""
    sums: dict[tuple[str, float | None], list[int]] = {}
    for row in rows:
        sums.setdefault((row["product"] or "", row["length"]), []).append(row["count"])
    return [
        [str(sum(counts)), "in all", "", "", product, lengths.width(length), "", ""]
        for (product, length), counts in sums.items()
        if len(counts) > 1
    ]


def _fasteners(rows: Sequence[Row], framing: str, lengths: Lengths) -> list[Setting]:
    """The schedule of fasteners; `framing` is what a member is called."""
    heads = ("count", "where", "place", "apart", "product", "length", "bite", "what was counted")
    cells = [
        [
            str(row["count"]),
            said_of_framing(WHERE_CALLED.get(row["where"]) or row["where"], framing),
            row["place"], lengths.spacing(row["spacing"]), row["product"] or "",
            lengths.width(row["length"]),
            lengths.width(row["bite"]), said_of_framing(row["counted"], framing),
        ]
        for row in rows
    ]  # fmt: skip
    return table(heads, [*cells, *_all_of(rows, lengths)], "rllrlrrl")
