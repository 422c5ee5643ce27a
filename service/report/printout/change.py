"""The change order on paper: what to buy, the work step by step, every piece that it touches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, TypeAlias

from service.products.nouns import Nouns
from service.report.printout.cautions import cautions
from service.report.printout.columns import (
    UNBROKEN,
    USUAL,
    Setting,
    heading,
    paragraph,
    set_on,
    table,
)
from service.report.printout.findings import ranked
from service.report.printout.layers import WHERE_CALLED
from service.report.printout.lengths import Lengths, fixed, plain, volume

Answer: TypeAlias = Mapping[str, Any]


def change_printout(answer: Answer, nouns: Nouns, columns: int = USUAL) -> str:
    """A change order as text that a foreman hands to the crew.

    `answer` is one in its published form. Lines end with a newline and are at most `columns` wide.
    """
    parts = [part for chapter in change_parts(answer, nouns, "Change order. ") for part in chapter]
    return ("\n".join(set_on(parts, columns)) + "\n").replace(UNBROKEN, " ")


def change_parts(answer: Answer, nouns: Nouns, first: str = "") -> list[list[Setting]]:
    """A change order in two chapters: what to get and to do, then every piece that it touches.

    Its summary begins with the words `first`.
    """
    lengths, work = Lengths(answer["units"]["length"]), answer["work"]
    return [
        [
            *paragraph(first + answer["summary"]["in_words"]),
            *_version(answer),
            *_headed("WHAT TO BUY", _to_buy(answer)),
            *_headed("WHAT GOES BACK", _back(answer)),
            *_headed("THE WORK, STEP BY STEP", _steps(answer)),
            *_headed("DECIDE BEFORE ORDERING", ranked(nouns, "decide")(work, lengths)),
        ],
        [
            *_headed("TAKE DOWN", _pieces(answer, lengths, "remove")),
            *_headed("CUT IN PLACE, TO WHAT STAYS", _pieces(answer, lengths, "recut")),
            *_headed("FRAMING", _framing(answer, lengths)),
            *_headed("NEW PIECES", _pieces(answer, lengths, "add")),
            *_headed("NAILS, TAPE AND PAINT FOR THE NEW WORK", _small(work, lengths)),
            *_headed("CAUTIONS", cautions(work, lengths) if answer["steps"] else []),
        ],
    ]


def _headed(name: str, body: list[Setting]) -> list[Setting]:
    """A section, left out where nothing stands in it."""
    return [*heading(name), *body] if body else []


def _version(answer: Answer) -> list[Setting]:
    told = answer["before_version"]
    return [] if told is None or told["same"] else paragraph(f"Mind: {told['in_words']}.")


def _to_buy(answer: Answer) -> list[Setting]:
    rows = [row for row in answer["order"] if row["more"]]
    money = f"price {answer['units']['money'] or ''}".strip()
    bought = table(
        ("buy", "item", money),
        [[_packs(row), row["item"], fixed(row["price"])] for row in rows],
        "rl",
    )
    own = [f"{row['used']:,} of {row['item']}" for row in answer["order"] if row["used"]]
    used = paragraph(f"First use what is there: {'; '.join(own)}.", "  ") if own else []
    return [*bought, *used] or paragraph("Nothing.", "  ")


def _packs(row: Answer) -> str:
    if row["packages"] in (0, row["more"]):
        return f"{row['more']:,}"
    return f"{row['packages']:,} pk ({row['more']:,})"


def _back(answer: Answer) -> list[Setting]:
    rows = [row for row in answer["order"] if row["fewer"]]
    cells = [[f"{row['fewer']:,}", row["item"], fixed(row["credit"])] for row in rows]
    return table(("count", "item", f"credit {answer['units']['money'] or ''}".strip()), cells, "rl")


BEFORE_WORK: Final = "Before work: read the CAUTIONS, at the end."


def _steps(answer: Answer) -> list[Setting]:
    """The work, step by step; cautions are to be read before any of it."""
    told = [
        part
        for row in answer["steps"]
        for part in paragraph(_placed(row, answer), f"{row['number']:>3}. ")
    ]
    return paragraph(BEFORE_WORK, "  ") + told if told and answer["work"]["cautions"] else told


def _placed(row: Answer, answer: Answer) -> str:
    """A step, with its surface where there are several."""
    several = len({one["surface"] for one in answer["totals"]}) > 1
    return f"{row['surface']}: {row['text']}" if several and row["surface"] else str(row["text"])


def _pieces(answer: Answer, lengths: Lengths, do: str) -> list[Setting]:
    """Pieces of what is up that are done something with, or all that are new."""
    rows = [row for row in answer["pieces"] if row["do"] == do and (row["is_up"] or do == "add")]
    several = len({row["surface"] for row in rows}) > 1
    cells = [
        [
            row["surface"] if several else "", row["layer"],
            "" if do == "add" else plain(row["course"]),
            row["label"] if do == "add" else "",
            *_stations(row, lengths), lengths.station(row["length"]),
            "" if row["width"] is None else lengths.width(row["width"]), row["stick"] or "",
        ]
        for row in rows
    ]  # fmt: skip
    heads = ("surface", "layer", "course", "piece", "from", "to", "length", "width", "out of")
    return table(heads, cells, "llrlrrrrl", [1] * len(cells))


def _stations(row: Answer, lengths: Lengths) -> tuple[str, str]:
    """From where to where a piece lies along its course; nothing of one that stands across it."""
    along = row["to"] - row["from"]
    if abs(row["far"] - row["near"]) > along and row["length"] > 2 * along:
        return "", ""
    return lengths.station(row["from"]), lengths.station(row["to"])


def _framing(answer: Answer, lengths: Lengths) -> list[Setting]:
    rows: Sequence[Answer] = [row for row in answer["framing"] if row["do"] != "keep"]
    words = {"add": "set", "remove": "no longer needed"}
    cells = [
        [
            words[row["do"]], f"{row['count']} {row['what']}", lengths.station(row["length"]),
            _between(row["from"][0], row["to"][0], lengths),
            _between(row["from"][1], row["to"][1], lengths), row["product"] or "",
        ]
        for row in rows
    ]  # fmt: skip
    return table(("", "what", "length", "from the left", "from the bottom", "of"), cells, "llrlll")


def _between(start: float, end: float, lengths: Lengths) -> str:
    """Where it lies, or from where to where."""
    low, high = sorted((start, end))
    if low == high:
        return lengths.station(low)
    return f"{lengths.station(low)} to {lengths.station(high)}"


def _small(work: Answer, lengths: Lengths) -> list[Setting]:
    """What is driven, stuck on and spread: counted, by length and by volume."""
    nails = [
        [
            row["layer"],
            WHERE_CALLED.get(row["where"], row["where"]),
            row["place"],
            plain(row["count"]),
            row["product"] or "",
        ]
        for row in work["fasteners"]
    ]
    tape = [
        [row["layer"], row["where"], "", lengths.station(row["length"]), row["product"] or ""]
        for row in work["consumables"]
    ]
    paint = [
        [
            row["layer"],
            row["where"],
            "",
            volume(row["volume"], work["units"]["volume"]),
            row["product"],
        ]
        for row in work["liquids"]
    ]
    return table(("layer", "where", "", "how much", "of"), [*nails, *tape, *paint], "lllrl")
