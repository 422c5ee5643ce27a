"""The printout of a build-up: the order as a yard picks it, then each layer as it is built."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from service.compute import answer
from service.demo import JOB
from service.report.printout.columns import NARROWEST, USUAL, WIDEST
from tests.unit.printed_answers import answer as printed_answer
from tests.unit.printed_answers import printed

Answer = dict[str, Any]


def porch() -> dict[str, Any]:
    made: dict[str, Any] = json.loads(JOB.read_bytes())
    return made


def taken_off(job: dict[str, Any]) -> Answer:
    """The flat answer to a job."""
    made: Answer = json.loads(answer(json.dumps(job).encode()).body)
    return made


@pytest.fixture(scope="module")
def flat() -> Answer:
    return taken_off(porch())


@pytest.fixture(scope="module")
def twice() -> Answer:
    """The porch and a smaller porch that shares its products."""
    job = porch()
    second = json.loads(json.dumps(job["surfaces"][0]))
    second.update(id="entry", outline=[[0, 0], [120, 0], [120, 60], [0, 60]], openings=[])
    del second["layers"][2]["aim"]
    job["surfaces"].append(second)
    return taken_off(job)


def sections(text: str) -> dict[str, list[str]]:
    """Lines by the heading that they stand under."""
    found: dict[str, list[str]] = {}
    lines = text.splitlines()
    name = ""
    for line in lines:
        if found_name := re.fullmatch(r"(\S.*\S) -{2,}", line):
            name = found_name[1]
            found[name] = []
        elif name:
            found[name].append(line)
    return found


def block(lines: list[str], caption: str) -> list[str]:
    start = next(k for k, line in enumerate(lines) if line.startswith(f"  {caption}")) + 1
    end = next((k for k in range(start, len(lines)) if not lines[k]), len(lines))
    return lines[start:end]


def test_findings_stand_before_the_layers_which_go_outward_and_cautions_after(flat: Answer) -> None:
    names = list(sections(printed(flat)))
    layers = ["1. porch.panels: panel", "2. porch.wrap: wrap", "3. porch.boards: hemlock"]
    leading = ["WHAT TO ORDER", "WHAT TO DO FIRST", "DECIDE BEFORE ORDERING", "GOOD TO KNOW",
               "AS USUAL"]  # fmt: skip
    assert names[:9] == [*leading, *layers, "CAUTIONS"]


def test_the_first_screen_tells_what_to_buy_for_how_much_and_what_to_do_and_decide(
    flat: Answer,
) -> None:
    """A terminal has 24 lines: the whole order with its total, the first lines, a decision."""
    screen = "\n".join(printed(flat).splitlines()[:24])
    assert all(row["item"] in screen for row in flat["order"])
    assert f"{sum(row['price'] for row in flat['order']):,.2f}" in screen
    assert screen.count("Snap a line") == 2
    assert re.search(r"DECIDE BEFORE ORDERING -+\n  \* \S", screen)


def test_order_goes_by_what_a_yard_picks_together(flat: Answer) -> None:
    """Sheets, rolls, tape, sticks, then fasteners: each product's lines together."""
    lines = "\n".join(sections(printed(flat))["WHAT TO ORDER"])
    placed = sorted((lines.index(f"  {row['item']} "), row["product"]) for row in flat["order"])
    names = list(dict.fromkeys(product for _, product in placed))
    assert names == ["panel", "wrap", "tape", "hemlock", "ring_nail", "cap_nail", "finish_nail"]


def test_each_layer_says_what_to_do_first(flat: Answer) -> None:
    text = " ".join(" ".join(sections(printed(flat))["WHAT TO DO FIRST"]).split())
    places = [text.index(words) for words in ("far edge of row 1", "Unroll", "tongue edge of")]
    assert places == sorted(places)


def test_what_to_do_first_is_numbered_in_its_own_order(flat: Answer) -> None:
    """Also where a layer has nothing to be done first: the wrap here, of which no run is laid."""
    without = flat | {"courses": [row for row in flat["courses"] if row["layer"] != "wrap"]}
    lines = sections(printed(without))["WHAT TO DO FIRST"]
    assert [line[:13].split() for line in lines if line[2:3].isdigit()] == [
        ["1.", "panels:"], ["2.", "boards:"]]  # fmt: skip


def test_every_sheet_is_sawn_once_and_every_piece_comes_from_one(flat: Answer) -> None:
    lines = block(sections(printed(flat))["1. porch.panels: panel"], "Sheets")
    assert sum(int(found[1]) for line in lines if (found := re.match(r"    - (\d+) x", line))) == (
        len(flat["sheets"])
    )
    made = re.findall(r"\d+\.\d+\.\d+", " ".join(re.findall(r"\[[^\]]*\]", " ".join(lines))))
    assert sorted(made) == sorted(
        piece["label"] for piece in flat["pieces"] if piece["layer"] == "panels"
    )


@pytest.mark.parametrize("layer", ["1. porch.panels: panel", "2. porch.wrap: wrap",
                                   "3. porch.boards: hemlock"])  # fmt: skip
def test_fasteners_of_a_layer_stand_with_it_and_say_what_was_counted(
    flat: Answer, layer: str
) -> None:
    name = layer.split(".")[2].split(":", maxsplit=1)[0]
    rows = [row for row in flat["fasteners"] if row["layer"] == name]
    lines = block(sections(printed(flat))[layer], "Fasteners")
    counts = [int(found[1]) for line in lines if (found := re.match(r" +(\d+)  \w", line))]
    # All are of one product and length, so that the last line is their sum.
    assert counts == [*(row["count"] for row in rows), sum(row["count"] for row in rows)]
    text = re.sub(r"\s+", " ", " ".join(lines))
    assert all(row["counted"].split()[0] in text for row in rows)


def test_tape_stands_with_the_wrap_by_place(flat: Answer) -> None:
    lines = block(sections(printed(flat))["2. porch.wrap: wrap"], "Used by length")
    rows = [re.split(r" {2,}", line.strip()) for line in lines[1:]]
    assert [row[2] for row in rows if len(row) > 2] == ["side laps", "openings"]
    assert [row[0] for row in rows if len(row) > 2] == [
        f"{row['length'] / 12:.1f} ft" for row in flat["consumables"]
    ]


def test_a_product_of_two_surfaces_is_cut_once_and_says_for_which(twice: Answer) -> None:
    found = sections(printed(twice))
    first, second = (
        "\n".join(found[name]) for name in ("3. porch.boards: hemlock", "6. entry.boards: hemlock")
    )
    assert "Cut list by stick, longest first (also for entry.boards):" in first
    assert re.search(r"\bentry\.1\.1\.1\b", first)
    assert "Cut list" not in second
    assert "Courses:" in second
    assert "Fasteners (blind, in the tongue):" in second


@pytest.mark.parametrize("columns", [NARROWEST, USUAL, WIDEST])
def test_no_line_is_wider_than_the_page(twice: Answer, columns: int) -> None:
    assert max(map(len, printed(twice, columns).splitlines())) <= columns


def test_shares_are_printed_where_there_are_several_surfaces() -> None:
    """The rows of a line add up to it, also on paper."""
    given = printed_answer()
    assert "SHARE BY AREA" not in printed(given)
    (loft,) = given["surfaces"]
    shares = [
        {"surface": name, "product": "pine", "item": "pine 16' 0\"", "buy": buy, "price": price}
        for name, buy, price in (("loft", 30, 576.3), ("den", 20, 384.2))
    ]
    two = {**given, "surfaces": [loft, {**loft, "surface": "den"}], "order_shares": shares}
    text = printed(two)
    start = text.index("SHARE BY AREA")
    assert re.search(
        r"den +20  pine 16' 0\" +384\.20\n +loft +30  pine 16' 0\" +576\.30", text[start:]
    )
