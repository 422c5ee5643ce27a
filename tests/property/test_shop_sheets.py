"""Shop sheets say what the text says, add up to what the JSON answer adds up to, and are the same.

They are read back by another library than the one that set them.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

import orjson
import pytest
from pypdf import PdfReader

from service.compute import PDF, Picked, answer
from service.products.registry import nouns
from service.report.drawing.svg import draw_apart
from service.report.paper import Paper, laid_on
from service.report.printout.change import change_parts
from service.report.printout.columns import Abreast, Heading, Paragraph, Setting, Table
from service.report.printout.comparison import comparison_parts
from service.report.printout.cut_plan import cut_plan_parts
from service.report.printout.written import shop_parts
from service.report.sheets import sheets
from service.report.shop_sheets.made import FACE, shop_sheets, typeset
from service.request.reading import job_of
from service.request.strict_json import loads
from service.takeoff.pipeline import Takeoff, take_off
from tests.strategies.asking import answered

KINDS = Path(__file__).parents[2] / "service" / "products" / "kinds"
EXAMPLES = ("boarding/examples/porch", "trim/examples/den", "wrap/examples/loft")
CALLED = {
    "lost tongue": "ripped edge (no tongue)", "leg": "cut-out, off framing",
    "notch": "cut-out, narrow", "open edge": "starting edge, no board before it",
    "framed leg": "cut-out, on its frame",
}  # fmt: skip
"""Places of fasteners that stand on paper under another name."""

SIZES: dict[Paper, tuple[float, float]] = {"letter": (612, 792), "a4": (595.276, 841.89)}


def body_of(example: str) -> bytes:
    return (KINDS / f"{example}.json").read_bytes()


@lru_cache
def drawn(example: str) -> Takeoff:
    return take_off(job_of(loads(body_of(example))), draw=True)


@lru_cache
def made(example: str, paper: Paper) -> bytes:
    pages = draw_apart(laid_on(sheets(drawn(example)), paper), FACE)
    return shop_sheets(answered(orjson.loads(body_of(example))), nouns(), pages, paper)


@lru_cache
def texts(example: str, paper: Paper = "letter") -> list[str]:
    """The text of each page, without white space: where lines end is the setter's affair."""
    return [bare(page.extract_text()) for page in PdfReader(io.BytesIO(made(example, paper))).pages]


def bare(text: str) -> str:
    return re.sub(r"\s", "", text)


def said(part: Any) -> list[str]:
    """What a part of the printout says, piece by piece."""
    match part:
        case Heading(name):
            return [name]
        case Paragraph(text=text):
            return [text]
        case Table(cells=cells):
            return [cell for row in cells for cell in row]
        case Abreast(texts):
            return list(texts)
    return []


@pytest.mark.parametrize("example", EXAMPLES)
def test_all_that_the_text_says_of_the_work_stands_on_the_sheets(example: str) -> None:
    found = "".join(texts(example))
    parts = [part for one in shop_parts(answered(orjson.loads(body_of(example))), nouns())
             for part in one]  # fmt: skip
    missing = [text for part in parts for text in said(part) if bare(text) not in found]
    assert not missing


def test_the_sheets_give_the_totals_of_the_json_answer() -> None:
    """Read off the page: what is bought, its price and weight, and the fasteners."""
    told, found = answered(orjson.loads(body_of(EXAMPLES[0]))), texts(EXAMPLES[0])
    price, weight = (
        sum(row[name] for row in told["order"] if row[name] is not None)
        for name in ("price", "weight")
    )
    order = found[0][: found[0].index("WHATTODOFIRST")]
    total = re.search(r"total([\d,]+\.\d\d)([\d,]+\.\d)", order)
    assert total
    assert [float(one.replace(",", "")) for one in total.groups()] == [
        round(price, 2), round(weight, 1),
    ]  # fmt: skip
    for row in told["order"]:
        assert bare(row["item"]) in order
        assert f"{row['price']:,.2f}" in order
    pages = "".join(found)
    for row in told["fasteners"]:
        where = CALLED.get(row["where"], row["where"])
        assert bare(f"{row['count']}{where}{row['place']}") in pages


def test_there_is_a_box_to_tick_for_every_stick_sheet_and_roll() -> None:
    for example in EXAMPLES:
        told = answered(orjson.loads(body_of(example)))
        layers = shop_parts(told, nouns())[1:]
        ticked = sum(
            sum(part.boxes) if isinstance(part, Table) else part.boxes
            for chapter in layers
            for part in chapter
            if isinstance(part, Table | Paragraph)
        )
        assert ticked == len(told["sticks"]) + len(told["sheets"])


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_pages_are_of_the_paper_that_was_asked_for_and_drawings_lie_on_it_in_full(
    paper: Paper,
) -> None:
    pages = PdfReader(io.BytesIO(made(EXAMPLES[0], paper))).pages
    wide, high = SIZES[paper]
    drawings = draw_apart(sheets(drawn(EXAMPLES[0])))
    for page in pages[: -len(drawings)]:
        assert tuple(map(float, page.mediabox[2:])) == pytest.approx((wide, high), abs=0.01)
    for page, text in zip(pages[-len(drawings):], texts(EXAMPLES[0], paper)[-len(drawings):],
                          strict=True):  # fmt: skip
        assert tuple(map(float, page.mediabox[2:])) == pytest.approx((high, wide), abs=0.01)
        assert f"on{'A4' if paper == 'a4' else 'letter'}paper" in text
        assert re.search(r"1:\d+on", text)


def test_a_drawing_is_set_in_true_size() -> None:
    """The border of the drawing is EDGE (6.35 mm) from the paper's: it was not scaled."""
    page = PdfReader(io.BytesIO(made(EXAMPLES[0], "a4"))).pages[-1]
    spots: list[tuple[float, float]] = []

    def seen(operator: bytes, operands: Any, matrix: Any, _: Any) -> None:
        if operator in (b"m", b"l"):
            x, y = (float(one) for one in operands)
            a, b, c, d, e, f = (float(one) for one in matrix)
            spots.append((a * x + c * y + e, b * x + d * y + f))

    page.extract_text(visitor_operand_before=seen)
    mm = 72 / 25.4
    xs, ys = zip(*spots, strict=True)
    inner = [one for one in xs if one > 0.1 and one < 297 * mm - 0.1]
    assert min(inner) == pytest.approx(6.35 * mm, abs=0.1)
    assert max(inner) == pytest.approx((297 - 6.35) * mm, abs=0.1)
    assert len(ys) > 20


def test_the_same_answer_gives_the_same_bytes_and_tells_no_time() -> None:
    first, told = made(EXAMPLES[0], "letter"), answered(orjson.loads(body_of(EXAMPLES[0])))
    pages = draw_apart(laid_on(sheets(drawn(EXAMPLES[0])), "letter"), FACE)
    assert shop_sheets(told, nouns(), pages, "letter") == first
    known = PdfReader(io.BytesIO(first)).metadata
    assert known is not None
    assert known.get("/CreationDate") is None
    assert known.get("/ModDate") is None


@pytest.mark.parametrize(("media", "paper"), [(PDF, "a4"), (PDF, None)])
def test_a_request_is_answered_with_these_sheets(media: str, paper: Paper | None) -> None:
    """On letter paper where no other is asked for and lengths are in inches."""
    body = answer(body_of(EXAMPLES[2]), Picked(media, paper=paper)).body
    assert body == made(EXAMPLES[2], paper or "letter")


def test_fonts_are_embedded_and_are_the_setters_own() -> None:
    fonts = {}
    for page in PdfReader(io.BytesIO(made(EXAMPLES[0], "letter"))).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            fonts[inner["/BaseFont"]] = inner["/FontDescriptor"].get_object()
    assert fonts
    assert all("Libertinus" in name for name in fonts)
    assert all({"/FontFile2", "/FontFile3"} & set(one) for one in fonts.values())


MARKUP = (
    '#panic("a")', "*bold*", "_em_", "$x^2$", "@ref", "<label>", "= head", "- item", "\\ #sys",
    "http://a.invalid", "`raw`", "// gone", "/* gone */", '[#eval("1")]', "~", '--- "q"',
)  # fmt: skip


def test_texts_are_shown_as_they_are_and_never_read_as_markup() -> None:
    """In a title, a heading, a paragraph, a cell and a list."""
    parts = [
        *({"kind": "heading", "name": one} for one in MARKUP),
        *({"kind": "paragraph", "text": one, "mark": one, "indent": 2, "boxes": 0, "caption": False}
          for one in MARKUP),
        {"kind": "table", "heads": list(MARKUP), "rows": [list(MARKUP)],
         "lefts": [True] * len(MARKUP), "boxes": [1]},
        {"kind": "abreast", "texts": list(MARKUP)},
    ]  # fmt: skip
    told = {"title": MARKUP[0], "made": MARKUP[1], "foot": MARKUP[2], "paper": "a4",
            "chapters": [parts], "drawings": []}  # fmt: skip
    reader = PdfReader(io.BytesIO(typeset(told)))
    found = bare("".join(page.extract_text() for page in reader.pages))
    for one in MARKUP:
        assert found.count(bare(one)) >= 3, one
    assert not any(page.get("/Annots") for page in reader.pages)


EXAMPLES_OF = Path(__file__).parents[2] / "openapi" / "examples"


@pytest.mark.parametrize(
    ("operation", "example", "parts"),
    [
        (
            "changes",
            "small",
            lambda told: [part for one in change_parts(told, nouns()) for part in one],
        ),
        ("cut-plans", "full", lambda told: cut_plan_parts(told, nouns())),
        ("comparisons", "small", comparison_parts),
    ],
)
def test_sheets_of_other_answers_say_what_their_text_says(
    operation: str, example: str, parts: Callable[[Any], list[Setting]]
) -> None:
    body = (EXAMPLES_OF / operation / f"{example}.json").read_bytes()
    sheet = answer(body, Picked(PDF, operation=operation)).body
    found = "".join(bare(one.extract_text()) for one in PdfReader(io.BytesIO(sheet)).pages)
    told = answered(orjson.loads(body), operation)
    missing = [text for part in parts(told) for text in said(part) if bare(text) not in found]
    assert not missing
