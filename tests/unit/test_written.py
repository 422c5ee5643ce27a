"""The takeoff on paper: what stands in it, in which order, and that it fits the page."""

from __future__ import annotations

import re

import pytest

from service.report.printout.columns import NARROWEST, USUAL, WIDEST, abreast, set_on, table
from service.report.printout.lengths import Lengths
from tests.independent import paper
from tests.unit.printed_answers import Row, answer, printed

SECTIONS = (
    "WHAT TO ORDER", "WHAT TO DO FIRST", "DECIDE BEFORE ORDERING", "RULES RELAXED",
    "1. loft.boards: pine", "CAUTIONS", "WHAT WAS MEASURED", "HOW THE ORDER", "HOW GOOD",
    "WHERE ALL", "AGAINST A FLAT", "NOT COMPUTED",
)  # fmt: skip


def _section(text: str, name: str) -> list[str]:
    return _until_empty(text, name, 1)


def _block(text: str, caption: str) -> list[str]:
    """The lines under a caption within a layer's section."""
    return _until_empty(text, f"  {caption}", 1)


def _until_empty(text: str, start: str, skip: int) -> list[str]:
    lines = text.splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith(start)) + skip
    end = next((k for k in range(first, len(lines)) if not lines[k]), len(lines))
    return lines[first:end]


WIDTHS = pytest.mark.parametrize("columns", [NARROWEST, USUAL, WIDEST])


@WIDTHS
@pytest.mark.parametrize("count", [2, 3, 24, 281])
def test_no_line_is_wider_than_the_page(count: int, columns: int) -> None:
    assert max(map(len, printed(answer(count), columns).splitlines())) <= columns


@WIDTHS
def test_long_names_still_fit_the_page(columns: int) -> None:
    long = "x" * 32
    given = answer()
    given["surfaces"] = [{**row, "surface": long} for row in given["surfaces"]]
    for rows in ("courses", "joints", "fasteners", "pieces", "layers"):
        given[rows] = [{**row, "surface": long, "layer": long} for row in given[rows]]
    for rows in ("order", "ledger", "sticks", "fasteners", "layers"):
        given[rows] = [{**row, "product": long} for row in given[rows]]
    assert max(map(len, printed(given, columns).splitlines())) <= columns


def test_sections_stand_in_the_order_of_the_work() -> None:
    text = printed(answer())
    places = [text.index(f"\n{name}") for name in SECTIONS]
    assert places == sorted(places)


def test_sections_without_lines_are_left_out() -> None:
    given = {**answer(), "findings": [], "relaxed": [], "cautions": []}
    text = printed(given)
    assert not any(name in text for name in ("DECIDE", "RULES RELAXED", "CAUTIONS"))


def test_order_says_what_to_buy_and_its_total() -> None:
    lines = _section(printed(answer()), "WHAT TO ORDER")
    assert re.search(r"\b50  pine 16' 0\" +960\.50 +812\.4", lines[1])
    assert re.search(r"1 box \(1,000\)  ring shank nail 2 in +21\.00", lines[2])
    assert re.search(r"total +981\.50 +812\.4", lines[3])


def test_how_the_order_comes_about_is_told_line_by_line() -> None:
    lines = _section(printed(answer()), "HOW THE ORDER")
    assert [line.split() for line in lines] == [
        ["item", "need", "spare", "loss", "buy", "left", "over", "length"],
        ["pine", "16'", '0"', "48", "2", "50", "800.0", "ft"],
        ["ring", "shank", "nail", "2", "in", "574", "29", "1,000", "397"],
    ]


def test_one_finding_of_several_places_is_told_once() -> None:
    given = answer()
    row = {"code": "no-cull", "text": "the order allows for none", "rule": None, "cure": None}
    given["findings"] = [{**row, "at": name} for name in ("pine", "fir")]
    text = "\n".join(_section(printed(given), "DECIDE"))
    assert text == "  * pine, fir: the order allows for none [no-cull]"


def test_findings_stand_by_what_they_ask() -> None:
    """What must be decided, what is good to know, what is as usual."""
    given = answer()
    row = given["findings"][0]
    codes = {"DECIDE": "rip-small", "GOOD TO KNOW": "seam-near-corner", "AS USUAL": "no-spare"}
    given["findings"] = [{**row, "code": code} for code in codes.values()]
    for section, code in codes.items():
        text = "\n".join(_section(printed(given), section))
        assert [one for one in codes.values() if one in text] == [code]


def test_a_total_without_all_prices_says_so() -> None:
    given = answer()
    given["order"][1]["price"] = None
    assert "total of what is priced" in printed(given)


def test_start_names_line_rips_and_side() -> None:
    text = " ".join(" ".join(_section(printed(answer()), "WHAT TO DO FIRST")).split())
    assert text == (
        "Before work: read the CAUTIONS, after the layers. "
        '1. boards: Snap a line 4-5/8" up from the bottom: tongue edge of course 1.'
    )
    text = " ".join(" ".join(_block(printed(answer()), "How to begin")).split())
    assert "Start at the bottom of the drawing (marks rise" in text
    assert 'no. 1: 4-1/8", tongue away from the start, groove edge ripped off.' in text
    assert 'no. 24: 4-1/8", tongue away from the start, tongue edge ripped off; drop in.' in text


def test_a_note_that_says_how_to_rip_says_it_alone() -> None:
    given = answer()
    given["courses"][0]["note"] = "rip off the groove side"
    text = " ".join(printed(given).split())
    assert "groove edge ripped off" not in text
    assert text.count("rip off the groove side") == 2


def test_start_on_the_high_side_is_said() -> None:
    given = answer()
    given["courses"] = [
        {**row, "near": 150 - row["near"], "far": 150 - row["far"]} for row in given["courses"]
    ]
    assert "Start at the top of the drawing (marks fall" in printed(given)


@pytest.mark.parametrize(
    ("count", "kept"),
    [(3, [1, 2, 3]), (6, [1, 2, 3, 4, 5, 6]), (24, [1, 2, 5, 10, 15, 20, 23, 24])],
)
def test_courses_that_are_alike_are_folded_to_each_fifth(count: int, kept: list[int]) -> None:
    lines = _block(printed(answer(count)), "Courses")
    numbers = [int(found[1]) for line in lines if (found := re.match(r" +(\d+)  ", line))]
    assert numbers == kept
    assert ("Those between" in lines[-1]) == (len(kept) < count)


def test_every_joint_is_printed_with_its_member() -> None:
    text = " ".join(_block(printed(answer()), "Joints"))
    found = re.findall(r"(\d+)  (\d+' \d+\") \((\d+)\)", text)
    assert len(found) == 24
    assert found[0] == ("1", "16' 0\"", "13")


def test_no_joints_are_said_to_be_none() -> None:
    assert "None: each run is one piece." in printed({**answer(), "joints": []})


def test_cut_list_counts_every_stick_once_and_goes_down() -> None:
    lines = _block(printed(answer()), "Cut list")
    rows = [re.match(r" +(\d+) x +(\d+)' ", line) for line in lines]
    counts = [(int(row[1]), int(row[2])) for row in rows if row]
    assert sum(count for count, _ in counts) == 48
    assert [length for _, length in counts] == sorted((each[1] for each in counts), reverse=True)


def test_cut_list_names_every_piece_once() -> None:
    made = paper.cut_names(printed(answer()))
    assert len(made) == len(set(made)) == 48


def test_marks_of_pieces_keep_sticks_apart() -> None:
    lines = _block(printed(answer()), "Cut list")
    assert sum('(rip to 4-1/8")' in line for line in lines) == 4


def _angle(end: str, edge: str, degrees: float, length: float) -> Row:
    return {"do": "angle", "end": end, "edge": edge, "angle": degrees, "length": length}


LEFT, RIGHT = _angle("left", "tongue", 45.0, 5.125), _angle("right", "tongue", 45.0, 5.125)
BACK = _angle("right", "groove", 45.0, 5.125)
WORKED = {
    "both ends": ([LEFT, RIGHT], "45 deg both ends",
                  'both ends 45 deg, long point at the tongue edge: 1 at 13\' 3-1/2", short point '
                  '12\' 5-1/4" [2.1.1]'),
    "a parallelogram": ([LEFT, BACK], "45 deg both ends",
                        "left end 45 deg, long point at the tongue edge; right end 45 deg, "
                        'long point at the groove edge: 1 at 13\' 3-1/2", each edge 12\' 10-3/8" '
                        "[2.1.1]"),
    "one end": ([_angle("left", "groove", 22.5, 2.123)], "22.5 deg left",
                'left end 22.5 deg, long point at the groove edge: 1 at 13\' 3-1/2", short point '
                '13\' 1-3/8" [2.1.1]'),
    "hardly an angle": ([_angle("left", "groove", 0.5, 0.045)], '1/32" out of square left',
                        'left end 1/32" out of square, long point at the groove edge: '
                        '1 at 13\' 3-1/2", short point 13\' 3-7/16" [2.1.1]'),
    "a shape": ([{"do": "shape", "end": "left", "edge": "none", "angle": 0, "widths": []}],
                "left end to its line",
                'cut left end to its line, see the drawing: 1 at 13\' 3-1/2" [2.1.1]'),
}  # fmt: skip


@pytest.mark.parametrize("name", WORKED)
def test_ends_at_an_angle_are_told_in_short_and_as_a_setting(name: str) -> None:
    """Short points by hand: 159-1/2 in less 5-1/8 at each end, or 2-1/8."""
    work, mark, setting = WORKED[name]
    given = answer()
    (piece,) = [row for row in given["pieces"] if row["label"] == "2.1.1"]
    assert piece["length"] == 223.5
    piece.update(length=159.5, work=work)
    (line,) = (one for one in _block(printed(given), "Cut list") if "[2.1.1]" in one)
    assert f"({mark})  [2.1.1]" in line
    assert setting in " ".join(" ".join(_block(printed(given), "Rips")).split())


def test_ledger_adds_up_to_what_was_bought() -> None:
    lines = _section(printed(answer()), "WHERE ALL")
    shares = [float(line.split()[-1]) for line in lines[1:-1]]
    assert sum(shares) == pytest.approx(100, abs=0.05 * len(shares))
    assert lines[-1].split()[-1] == "100.0"
    assert "tongue or lap" in "\n".join(lines)


def test_empty_accounts_are_left_out_and_none_is_minus_nothing() -> None:
    given = answer()
    row = {"product": "pine", "measure": "area", "area": -1e-9, "length": -1e-9, "amount": "-3"}
    given["ledger"] += [{**row, "account": "spare"}, {**row, "account": "snap"},
                        {**row, "account": "cull", "amount": "0"}]  # fmt: skip
    text = "\n".join(_section(printed(given), "WHERE ALL"))
    assert "culls" not in text
    assert re.search(r"spares +0\.00 +0\.0 ft +0\.0", text)
    assert "snap" not in text


@pytest.mark.parametrize(
    ("measure", "amounts", "shown"),
    [
        (
            "length",
            {"installed": 90, "kerf": 30},
            [["stud", "length", "%"], ["installed,", "showing", "7.5", "ft", "75.0"],
             ["saw", "kerfs", "2.5", "ft", "25.0"], ["bought", "10.0", "ft", "100.0"]],
        ),
        (
            "volume",
            {"installed": 3, "surplus": 1},
            [["stud", "takes"], ["on", "the", "work", "3", "gal"], ["left", "over", "1", "gal"],
             ["bought", "4", "gal"]],
        ),
    ],
)  # fmt: skip
def test_a_ledger_is_printed_in_its_own_measure(
    measure: str, amounts: dict[str, int], shown: list[list[str]]
) -> None:
    """What is booked by length has no column of areas, what is a liquid none of either."""
    given = answer()
    no = {"product": "stud", "area": None, "length": None, "volume": None, "measure": measure}
    given["ledger"] = [
        no | {"account": account, "amount": str(amount)} | {measure: float(amount)}
        for account, amount in amounts.items()
    ]
    lines = _section(printed(given), "WHERE ALL")
    assert [line.split() for line in lines if line] == shown


def test_backing_is_printed_by_what_it_is_with_its_cut_list() -> None:
    """Alike lines together; the sticks of its lumber under them."""
    given = answer()
    row = {"surface": "loft", "what": "block", "for": "row", "length": 14.5, "product": "stud",
           "nails": 4}  # fmt: skip
    given["backing"] = [
        *(row | {"from": [x + 0.75, y], "to": [x + 15.25, y]}
          for y in (24, 48) for x in (16, 32, 48, 80)),
        row | {"what": "nailer", "for": "wall", "length": 120.0, "from": [0, 0], "to": [0, 120]},
        row | {"what": "nailer", "for": "hip or valley", "length": 20.0, "from": [0, 90],
               "to": [16, 102]},
    ]  # fmt: skip
    given["sticks"] = [
        *given["sticks"],
        given["sticks"][0] | {"stick": "stud-1", "product": "stud", "pieces": ["a", "b"],
                              "cuts": [14.5, 14.5], "beside": [[], []], "laps": [],
                              "length": 96.0},
    ]  # fmt: skip
    text = printed(given)
    lines = _section(text, "WHAT MUST STAND BEHIND")
    assert [line.split() for line in lines] == [
        ["count", "what", "each", "for", "surface", "nails"],
        ["8", "block", '14-1/2"', "row", "loft", "32"],
        ["1", "nailer", '20"', "hip", "or", "valley", "loft", "4"],
        ["1", "nailer", "10'", '0"', "wall", "loft", "4"],
    ]
    wide = printed(given, 100)
    stand = wide[wide.index("Where they stand") : wide.index("Cut list of stud")]
    steps = """1' 4-3/4" to 4' 0-3/4" every 1' 4", 6' 8-3/4\""""
    slant = """from 0" in, 7' 6" up to 1' 4" in, 8' 6" up"""
    for words in ("8  block", """2' 0", 4' 0" up""", """0" in""", steps, slant):
        assert words in stand
    assert "Cut list of stud by stick, longest first:" in text


def test_usual_ways_of_ordering_stand_beside_the_order() -> None:
    text = "\n".join(_section(printed(answer()), "AGAINST A FLAT"))
    assert "pine: A flat 10 % would order 829.0 ft." in text


def test_a_finding_carries_its_cure() -> None:
    text = "\n".join(_section(printed(answer()), "DECIDE"))
    assert "[rip-small] (rule 3.9)" in text
    assert "cure: surface 1, layer 1: set start to balanced" in text


def test_metric_answers_are_written_in_millimetres() -> None:
    given = answer()
    given["units"] = {"length": "mm", "area": "m2", "weight": "kg", "money": None}
    text = printed(given)
    assert "4.1 mm" in text
    assert "'" not in "\n".join(_block(text, "Courses"))


def test_texts_cannot_steer_the_terminal() -> None:
    given = {**answer(), "cautions": [{"about": "a", "surfaces": [], "source": "b",
                                           "text": "\x1b[2J wiped \u202e turned"}]}  # fmt: skip
    assert not any(mark in printed(given) for mark in "\x1b\u202e")


def test_same_answer_same_text() -> None:
    assert printed(answer()) == printed(answer())


def test_columns_without_cells_are_left_out() -> None:
    lines = set_on(table(("a", "b", "c"), [("1", "", "x"), ("22", "", "y")], "rrl"), USUAL)
    assert lines == ["   a  c", "   1  x", "  22  y"]


def test_short_texts_stand_abreast_and_long_ones_alone() -> None:
    assert set_on(abreast(["one", "three"]), USUAL) == ["  one      three"]
    assert len(set_on(abreast(["x" * 80, "y"]), WIDEST)) == 2


def test_texts_flow_within_their_columns_where_the_page_is_narrow() -> None:
    """Figures are never broken; the widest text gives way first."""
    row = ["1" * 20, "a few words of text, and some more of it", "short one"]
    lines = set_on(table(("no.", "long", "note"), [row], "rll"), NARROWEST)
    assert lines == [
        "                   no.  long                       note",
        "  11111111111111111111  a few words of text, and   short one",
        "                        some more of it",
    ]


def test_figures_wider_than_the_page_stand_in_lines() -> None:
    lines = set_on(table(("a", "b"), [["1" * 40, "2" * 40]], "rr"), NARROWEST)
    assert lines[-2:] == ["  " + "1" * 40, "    " + "2" * 40]


@pytest.mark.parametrize(
    ("unit", "value", "station", "width"),
    [
        ("in", 150.5, "12' 6-1/2\"", '150-1/2"'),
        ("ft", 12.541667, "12' 6-1/2\"", '150-1/2"'),
        ("mm", 3810.4, "3810 mm", "3810.4 mm"),
        ("m", 3.81, "3810 mm", "3810.0 mm"),
    ],
)
def test_lengths_are_written_as_the_trade_reads_them(
    unit: str, value: float, station: str, width: str
) -> None:
    assert (Lengths(unit).station(value), Lengths(unit).width(value)) == (station, width)
