"""A sheet of rooms is read alike however a spreadsheet writes it, and runs in none."""

from __future__ import annotations

import csv
import io
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.answering.registry import OPERATIONS
from service.answering.rows import ROWS
from service.compute import Picked, answer
from service.errors import Refusal
from service.rows import csv_out
from service.rows.csv_in import read_csv
from service.rows.jobs import column_of, sentence
from service.rows.template import TEMPLATE
from service.schemas.rooms import COLUMNS, MOST_ROWS, RESULTS
from tests.contract.hostile.sound import form_faults_of_csv
from tests.strategies.budget import FEW, examples

DEN = {
    "room": "den", "unit": "m", "length": "3.81", "width": "3.05 m", "boards_run": "along length",
    "support_spacing": "0.4", "profile": "shiplap", "overall": "0.14", "coverage": "0.127",
    "thickness": "0.018", "stock": "2.4; 3.6",
}  # fmt: skip

manners = st.fixed_dictionaries(
    {
        "parted_by": st.sampled_from([",", ";", "\t"]),
        "commas": st.booleans(),
        "marked": st.booleans(),
        "end": st.sampled_from(["\r\n", "\n"]),
        "quoted": st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL]),
        "order": st.permutations(list(DEN)),
    }
)


def saved(rows: list[dict[str, str]], manner: dict) -> bytes:
    """Rows as a spreadsheet saves them."""
    page = io.StringIO(newline="")
    writer = csv.writer(page, delimiter=manner["parted_by"], lineterminator=manner["end"],
                        quoting=manner["quoted"])  # fmt: skip
    writer.writerow(manner["order"])
    for row in rows:
        cells = [row[name] for name in manner["order"]]
        if manner["commas"] and manner["parted_by"] == ";":
            cells = [cell.replace(".", ",") for cell in cells]
        writer.writerow(cells)
    return ("\ufeff" if manner["marked"] else "").encode() + page.getvalue().encode()


@given(manner=manners)
@examples(60)
def test_however_it_is_saved_the_same_cells_are_read(manner):
    sheet = read_csv(saved([DEN, DEN], manner))
    assert [line.asked for line in sheet.lines] == [DEN, DEN]
    assert [line.number for line in sheet.lines] == [2, 3]
    assert not any(line.fault for line in sheet.lines)
    assert sheet.head.marked == manner["marked"]
    assert sheet.head.parted_by == manner["parted_by"]


@given(cells=st.lists(st.text(max_size=12) | st.sampled_from(["=1+1", "-2+3", "@SUM(A1)", "+1",
                      "\t=1", "\r=1", "\uff1d1", "-3", "4,5"]), min_size=1, max_size=4),
       parted_by=st.sampled_from([",", ";", "\t"]))  # fmt: skip
@examples(150)
def test_no_cell_that_is_repeated_runs_in_a_spreadsheet(cells, parted_by):
    row = dict.fromkeys(RESULTS) | {"status": "refused", "error": cells[0]}
    page = csv_out.header(cells, parted_by) + csv_out.line(cells, row, parted_by)
    assert form_faults_of_csv(page, parted_by) == []
    header, line = csv.reader(io.StringIO(page.decode(), newline=""), delimiter=parted_by)
    assert len(header) == len(line) == len(cells) + len(RESULTS)


WRONG = {
    "UTF-16": ("unit,length,width\nin,1,1".encode("utf-16"), "UTF-16"),
    "Latin-1": (b"unit,length,width,room\nin,1,1,sal\xf3n", "row 2 is not UTF-8"),
    "a NUL": (b"unit,length,width\nin,1,\0", "NUL"),
    "open quotes": (b'unit,length,width\nin,1,"2', "line 2"),
    "no header": (b"in,1,2\n", "no `unit`"),
    "nothing": (b"", "no `unit`"),
    "a column twice": (b"unit,length,width,length\nin,1,2,3", "`length` twice"),
    "no rows": (b"unit,length,width\n\n", "no rows"),
    "too many rows": (b"unit,length,width\n" + b"in,1,1\n" * (MOST_ROWS + 1), str(MOST_ROWS)),
    "too many columns": (b"unit,length,width" + b",x" * 300 + b"\n", "columns"),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_sheet_that_cannot_be_read_says_how_to_save_it(name):
    body, told = WRONG[name]
    with pytest.raises(Refusal) as refused:
        read_csv(body)
    assert told in refused.value.faults[0].detail


@pytest.mark.parametrize(
    ("parted_by", "cell", "told"),
    [
        (",", '"3,81"', "length: a comma in a number"),
        (",", '"1,250"', "length: a comma in a number"),
        (";", "1.250", "length: a point before three digits"),
        (";", "1.250,5", "length: a point before three digits"),
        (",", "1\x072", "length: control characters"),
        (",", "1,2,3", "the row has 5 cells under 3 columns"),
        (",", "x" * 201, "length: a cell may have 200"),
    ],
)
def test_a_cell_that_can_be_read_in_two_ways_is_refused_in_its_row(parted_by, cell, told):
    good = parted_by.join(["in", "1", "2"])
    text = f"{parted_by.join(['unit', 'length', 'width'])}\nin{parted_by}{cell}{parted_by}1\n{good}"
    bad, sound = read_csv(text.encode()).lines
    assert told in (bad.fault or "")
    assert sound.fault is None
    assert sound.asked == {"unit": "in", "length": "1", "width": "2"}


def asked(*rows: dict) -> list[dict]:
    outcome = answer(json.dumps({"rows": rows}).encode(), Picked(operation="rows"))
    assert outcome.kind == "answer", outcome.body
    return json.loads(outcome.body)["rows"]


def test_the_template_can_be_taken_off_as_it_stands():
    sheet = read_csv(TEMPLATE)
    assert sheet.head.names == COLUMNS
    rows = asked(*(line.asked for line in sheet.lines))
    assert [row["status"] for row in rows] == ["ok", "ok"]
    # 26 x 10 ft less an opening of 30 x 22 1/2 in; 3.81 x 2.44 m.
    assert rows[0]["area"] == 26 * 10 - 2.5 * 1.875
    assert rows[1]["area"] == 3.81 * 2.44


def test_a_row_is_what_a_job_of_that_room_is():
    (row,) = asked(DEN)
    job = {
        "unit": "m",
        "surfaces": [{"id": "room", "rectangle": [3.81, "3.05 m"],
                      "supports": {"direction": 90, "spacing": 0.4},
                      "layers": [{"id": "boards", "kind": "boarding", "product": "board",
                                  "direction": 0}]}],
        "products": [{"id": "board", "form": "board", "profile": "shiplap", "overall": 0.14,
                      "coverage": 0.127, "thickness": 0.018,
                      "stock": [{"length": 2.4}, {"length": 3.6}]}],
    }  # fmt: skip
    whole = json.loads(answer(json.dumps(job).encode()).body)
    assert row["bought"] == whole["summary"]["bought"]
    assert row["waste_pct"] == whole["summary"]["waste_pct"]
    assert row["sticks"] == whole["summary"]["sticks"]
    assert row["fasteners"] == sum(one["count"] for one in whole["fasteners"])
    assert (row["courses"], row["pieces"], row["joints"]) == tuple(
        len(whole[name]) for name in ("courses", "pieces", "joints")
    )
    assert row["findings"].split() == list(dict.fromkeys(f["code"] for f in whole["findings"]))


BAD = {
    "length": ("0", "length must be over zero"),
    "boards_run": ("across", "boards_run: this must be `along length` or `along width`"),
    "unit": ("yd", "unit: "),
    "profile": ("T&G", "profile: "),
    "type": ("roof", "type: "),
    "support_spacing": ("", "support_spacing: this cell is needed"),
    "coverage": ("0.2", "coverage: "),
    "stock": ("2.4; x", "stock: "),
}


def test_a_bad_row_is_told_in_its_cell_and_fails_no_other():
    rows = asked(DEN, *(DEN | {name: cell} for name, (cell, _) in BAD.items()), {"room": " "}, DEN)
    assert rows[0] == rows[-1]
    assert rows[-2]["status"] == "empty"
    for row, (_, told) in zip(rows[1:-2], BAD.values(), strict=True):
        assert row["status"] == "refused"
        assert told in row["error"]
        assert row["sticks"] is None


@given(room=st.fixed_dictionaries({"length": st.integers(1, 6), "width": st.integers(1, 4)}))
@FEW
def test_a_room_costs_the_same_in_any_company(room):
    other = DEN | {name: str(value) for name, value in room.items()}
    assert asked(DEN, other)[1] == asked(other, DEN)[0] == asked(other)[0]


def test_faults_are_told_with_their_columns():
    assert column_of("/products/0/stock/3/price") == "prices"
    assert column_of("/surfaces/0/rectangle/1") == "width"
    assert column_of("/surfaces/0/layers") is None
    faults = [{"detail": f"d{k}", "pointer": "/unit"} for k in range(5)]
    assert sentence(faults, 9) == "unit: d0; unit: d1; unit: d2; and 6 more"
    assert OPERATIONS["rows"] is ROWS


def test_what_would_do_is_told_in_the_unit_of_the_row():
    metric = {"unit": "mm", "length": "4 cubits"}
    told = asked(DEN | metric, DEN | {"length": "ten"}, DEN | metric | {"unit": "cubit"})
    assert [row["status"] for row in told] == ["refused"] * 3
    assert (
        "length: not a length that can be read: write a number in millimetres, or"
        in (told[0]["error"])
    )
    assert "a number in metres, or" in told[1]["error"]
    assert "a number in the row's `unit`, or" in told[2]["error"]
