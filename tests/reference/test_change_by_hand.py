"""Changes of boarded ceilings that are up, worked by hand: common practice (21.4, 21.5, 21.9)."""

from __future__ import annotations

import copy
import json
from functools import cache
from typing import Any

import pytest

from service.answering.operation import TEXT
from tests.strategies.changes import asked_change
from tests.strategies.requests import board, job, surface

Request = dict[str, Any]

PLY = {"id": "ply", "form": "sheet", "width": 47.875, "thickness": 0.5,
       "stock": [{"length": 95.875}]}  # fmt: skip
ROLL = {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]}
TAPE = {"id": "tape", "form": "tape", "width": 2.5, "length": "60 ft"}


def changed(before: Request, hatch: list[float]) -> Request:
    """The change order for another hatch, everything up."""
    after = copy.deepcopy(before)
    after["surfaces"][0]["openings"][0]["rectangle"] = hatch
    found = asked_change({"before": before, "after": after, "installed": "everything"})
    assert found.kind == "answer", found.body
    made: Request = json.loads(found.body)
    return made


def done(made: Request, layer: str, *what: str) -> list[tuple[str, int, float, float]]:
    """What becomes of the pieces of a layer: what is done, course, from and to."""
    return [
        (row["do"], row["course"], row["from"], row["to"])
        for row in made["pieces"]
        if row["layer"] == layer and row["do"] in what
    ]


def nails(made: Request, layer: str, where: str) -> int:
    """How many fasteners the work has in one place of a layer."""
    rows = made["work"]["fasteners"]
    return sum(row["count"] for row in rows if (row["layer"], row["where"]) == (layer, where))


@cache
def hatch_grown() -> Request:
    """Example 21.9: a hatch of 16 x 60 in a built-up porch ceiling becomes 24 x 72."""
    area = surface(
        {"rectangle": [380, 122], "type": "ceiling"},
        openings=[{"id": "hatch", "rectangle": [160, 53, 60, 16]}],
    )
    boards = area["layers"][0]
    area["layers"] = [{"id": "panel", "kind": "sheathing", "product": "ply"},
                      {"id": "wrap", "kind": "wrap", "product": "roll", "tape": "tape"},
                      boards]  # fmt: skip
    return changed(job(area, board("8 ft", "12 ft"), PLY, ROLL, TAPE), [154, 49, 72, 24])


def test_a_hatch_that_grows_takes_boards_though_the_area_shrinks() -> None:
    """72 x 24 - 60 x 16 = 768 sq in = 5.3 sq ft less, and yet there is to buy (21.9).

    The figures are those of 21.9: 5 to 6 courses, 10 to 12 short pieces from 3 to 5 boards (of
    12 ft, so 36 to 60 ft of any), one panel, one patch of wrap of about 36 x 84, 20 ft of tape.
    """
    made = hatch_grown()
    new = done(made, "boards", "add")
    assert 5 <= len({course for _, course, *_ in new}) <= 6
    assert 10 <= len(new) <= 12
    bought = {row["product"]: row["more"] for row in made["order"]}
    boards = [row for row in made["order"] if row["product"] == "pine"]
    assert 3 * 144 <= sum(row["more"] * row["length"] for row in boards) <= 5 * 144
    assert bought["ply"] == bought["roll"] == bought["tape"] == 1


def test_the_patch_of_wrap_laps_all_round() -> None:
    """The hole as cut, 72.25 x 24.25, and a lap of 6 on each side: 84.25 x 36.25 (13.7).

    Its perimeter is 2 x (84.25 + 36.25) = 241 in, 20 ft of tape. Caps at 12 in along each side, one
    at each corner: 2 x ceil(84.25 / 12) + 2 x ceil(36.25 / 12) = 16 + 8 = 24.
    """
    made = hatch_grown()
    (patch,) = (row for row in made["pieces"] if row["layer"] == "wrap" and row["do"] == "add")
    assert patch["length"] == 84.25
    assert patch["is_area"] == pytest.approx((84.25 * 36.25 - 72.25 * 24.25) / 144)
    (tape,) = made["work"]["consumables"]
    assert (tape["where"], tape["length"]) == ("patches", 241)
    assert nails(made, "wrap", "edge") == 24


@cache
def hatch_shortened(**panel: str) -> Request:
    """A room of 200 x 62.5 in, twelve courses of 5.125 from 0.5 on, a 20-footer each.

    Joists stand at 16, 32, 48 ... in. A hatch of 48 x 20 at 60 is moved to 76 and shortened to 32:
    as cut it was 59.875 to 108.125, and is 75.875 to 108.125; across it stays 19.875 to 40.125.
    Course k lies from 0.5 + 5.125 (k - 1): course 4 from 15.875 to 21 and course 8 from 36.375 to
    41.5 are notched, courses 5 to 7 are cut in two.
    """
    area = surface(
        {"rectangle": [200, 62.5], "type": "ceiling"},
        openings=[{"id": "hatch", "rectangle": [60, 20, 48, 20]}],
        layer={"start": "full_first"},
    )
    area["layers"].insert(0, {"id": "panel", "kind": "sheathing", "product": "ply"} | panel)
    return changed(job(area, board("20 ft"), PLY, TAPE), [76, 20, 32, 20])


def test_boards_beside_an_old_hole_go_back_to_bearings_apart_from_each_other() -> None:
    """Course by course (21.5, 6.5, and 24 in at least of a board that stays).

    4: notched, so a joint keeps 12 in off 59.875 and 75.875: on the joists at 32 and 96.
    5: its short board must meet another now; 48 and 32 are nearer than 24 to 32, 16 leaves a stub
       of 15.5: all of it goes, 0.5 to 75.875 is one new board.
    6: no joint in course 5; 48 is 16 from course 4's, two courses off, where 6 is enough: 48.
    7: 48 and 32 are nearer than 24 to 48: all of it goes.
    8: as course 4; 32 is 16 from course 6's: 32 and 96.
    """
    made = hatch_shortened()
    assert sorted(done(made, "boards", "recut", "remove"), key=lambda row: row[1:]) == [
        ("recut", 4, 0.5, 32), ("recut", 4, 96, 199.5),
        ("remove", 5, 0.5, 59.875),
        ("recut", 6, 0.5, 48),
        ("remove", 7, 0.5, 59.875),
        ("recut", 8, 0.5, 32), ("recut", 8, 96, 199.5),
    ]  # fmt: skip
    assert done(made, "boards", "add") == [
        ("add", 4, 32, 96), ("add", 5, 0.5, 75.875), ("add", 6, 48, 75.875),
        ("add", 7, 0.5, 75.875), ("add", 8, 32, 96),
    ]  # fmt: skip


def test_what_it_takes_beside_the_boards() -> None:
    """64 + 75.375 + 27.875 + 75.375 + 64 = 306.6 in: two of 240 in, for 306.6 > 240.

    Of the panel from 0.0625 to 95.9375 the joist at 48 keeps 6 in off the corner at 59.875, and
    beyond 75.875 + 6 there is none: it is cut at 48 less half the gap of 1/8, and 48.0625 to
    95.9375 is new. Before, joists at 64, 80 and 96 were cut, now those at 80 and 96: headers go
    from 64 + 3/4 to 112 - 3/4, and one trimmer moves from 59.875 to 75.875.
    """
    made = hatch_shortened()
    more = {row["product"]: row["more"] for row in made["order"]}
    assert more == {"pine": 2, "ply": 1}
    assert done(made, "panel", "recut") == [("recut", 1, 0.0625, 47.9375)]
    assert done(made, "panel", "add") == [("add", 1, 48.0625, 95.9375)]
    framing = {(row["do"], row["what"], *row["from"], *row["to"])
               for row in made["framing"] if row["do"] != "keep"}  # fmt: skip
    assert framing == {
        ("remove", "header", 48.75, 19.875, 111.25, 19.875),
        ("remove", "header", 48.75, 40.125, 111.25, 40.125),
        ("remove", "trimmer", 59.875, 19.875, 59.875, 40.125),
        ("add", "header", 64.75, 19.875, 111.25, 19.875),
        ("add", "header", 64.75, 40.125, 111.25, 40.125),
        ("add", "trimmer", 75.875, 19.875, 75.875, 40.125),
    }


def test_boards_that_are_dropped_in_are_faced() -> None:
    """A board beside one of the next course that stays cannot slide onto its tongue (21.4).

    So 5, beside the stub to 48 in course 6; 7, beside that to 32 in course 8; and 8, beside course
    9. Not 4, beside a course 5 that is new there, nor 6, beside a course 7 that is new as far as it
    goes. Two faces where each crosses a joist: course 5 at 16, 32, 48, 64 and its end on the
    header, 7 likewise, 8 at 32, 48, 64, 80 and 96.
    """
    made = hatch_shortened()
    (fit,) = (
        row["text"] for row in made["steps"] if (row["do"], row["layer"]) == ("add", "boards")
    )
    assert "What of courses 5, 7 and 8 meets a board of the next that stays cannot slide on" in fit
    faced = {row["where"]: row["count"] for row in made["work"]["fasteners"]
             if row["layer"] == "boards" and row["place"] == "face"}  # fmt: skip
    assert faced["last"] > 0


def test_the_work_is_told_in_the_order_in_which_it_is_done() -> None:
    """Down from the outside, framing, up from the inside.

    The patch of the panel is as wide as its row, 0 to 47.875, from 48 to 96: the boards of courses
    1 to 3 and 9 (41.5 to 46.6) lie over it, and 10 from 46.6 on over more than half an inch; of the
    cut ones 4 and 8 go on to 32 and from 96, and 6 to 48. So they are loosened as far.
    """
    told = hatch_shortened()["steps"]
    assert [(row["do"], row["layer"]) for row in told] == [
        ("buy", None), ("remove", "boards"), ("recut", "boards"), ("loosen", "boards"),
        ("recut", "panel"), ("remove", None), ("add", None), ("add", "panel"), ("add", "boards"),
        ("put back", "boards"),
    ]  # fmt: skip
    way = "Tongues lie in boards that stay: saw one course along its length to get the first out."
    assert told[1]["text"] == f"Take down 2 boards (boards): courses 5 and 7. {way}"
    assert way not in told[2]["text"]
    assert "Loosen 5 boards" in told[3]["text"]
    assert told[3]["text"].endswith("courses 1 to 3, 9 and 10.")
    assert told[9]["text"].endswith("courses 1 to 3, 9 and 10.")
    assert told[6]["text"] == "Set 2 headers of 3' 10-1/2\" and 1 trimmer of 1' 8-1/4\"."


def test_a_patch_on_blocks_is_as_wide_as_it_takes() -> None:
    """Across, 19.875 to 40.125 changes, and a patch keeps 6 in off its corners (21.4).

    At 13.875 it leaves 13.8 in of the sheet, more than the least strip of 12; at 46.125 it would
    leave 1.8, so it goes to the seam at 47.9375. Half the gap of 1/8 on each side of the line: the
    patch is 13.9375 to 47.9375, 34 in wide. A block of 14.5 stands in each of the bays from 48 to
    96. Of the boards that stay over it course 3 (10.75 to 15.875), 9 and 10 are loosened, and no
    longer 1 and 2. Its edge of 47.875 in takes ceil((47.875 - 0.75) / 6) + 1 = 9 nails, four of
    which are those of its joists; the sheet beside it takes as many (18.7, 18.8): 2 x 5.
    """
    made = hatch_shortened(patches="blocks")
    (patch,) = (row for row in made["pieces"] if row["layer"] == "panel" and row["do"] == "add")
    assert (patch["from"], patch["to"]) == (48.0625, 95.9375)
    hole = (95.9375 - 75.875) * (40.125 - 19.875)
    assert patch["is_area"] * 144 == pytest.approx(
        (95.9375 - 48.0625) * (47.9375 - 13.9375) - hole, abs=0.01
    )
    (stays,) = (row for row in made["pieces"] if row["layer"] == "panel" and row["do"] == "recut")
    assert (stays["from"], stays["to"]) == (0.0625, 95.9375)
    blocks = [row for row in made["framing"] if row["what"] == "block"]
    assert [(row["do"], row["length"], row["from"][1]) for row in blocks] == [
        ("add", 14.5, 13.875)
    ] * 3
    assert [row["from"][0] for row in blocks] == [48.75, 64.75, 80.75]
    (loose,) = (row["text"] for row in made["steps"] if row["do"] == "loosen")
    assert "Loosen 3 boards" in loose
    assert loose.endswith("courses 3, 9 and 10.")
    nails = {row["where"]: row["count"] for row in made["work"]["fasteners"]
             if row["layer"] == "panel"}  # fmt: skip
    assert nails["long edge"] == 2 * (9 - 4)
    assert patch["width"] == 34
    rows = hatch_shortened()
    assert not [row for row in rows["framing"] if row["what"] == "block"]


@pytest.mark.parametrize(
    ("patches", "length"),
    [("rows", 47.875 + 47.875 + 27.625), ("blocks", 47.875 + 47.875 + 34 + 13.75)],
)
def test_a_patch_is_taped_where_it_meets_sheets_that_are_up(patches: str, length: float) -> None:
    """The patch of a whole row, 47.875 square, has a wall below it: three sides, less the hatch.

    On its right side that takes 40.125 - 19.875 = 20.25 of 47.875, or of 34 where it begins at
    13.9375 on blocks; then it is taped along these too. And round the hatch, which is another: as
    cut 32.25 by 20.25, and the tape's own width of 2.5 at each corner (13.5): 105 + 10 = 115 in.
    """
    tape = hatch_shortened(patches=patches, tape="tape")["work"]["consumables"]
    assert {row["where"]: row["length"] for row in tape} == {"patches": length, "openings": 115}


def test_an_opening_that_no_patch_touches_is_not_taped_anew() -> None:
    """A second hatch far off the patch keeps its tape."""
    area = surface(
        {"rectangle": [300, 62.5], "type": "ceiling"},
        openings=[{"id": "hatch", "rectangle": [60, 20, 48, 20]},
                  {"id": "far", "rectangle": [230, 20, 30, 20]}],
    )  # fmt: skip
    area["layers"] = [{"id": "panel", "kind": "sheathing", "product": "ply", "tape": "tape"}]
    before = job(area, PLY, TAPE)
    moved = changed(before, [76, 20, 32, 20])["work"]["consumables"]
    assert {row["where"]: row["length"] for row in moved}["openings"] == 115


def test_ends_that_are_cut_and_boards_that_are_loosened_are_nailed_anew() -> None:
    """Each piece needs its own nails at a joint (18.2), and what was drawn is lost.

    Cut ends on joists: course 4 at 32 and 96, course 6 at 48, course 8 at 32 and 96: 5, faced, for
    a tongue lies in the next board. The sheet is cut at 48, over 47.875 less 3/8 at each end: as
    above 9 nails at 6 in. Courses 1 to 3, 9 and 10 are loosened over the patch from 48.06 to 95.94,
    off the joists at 64 and 80: 5 x 2 in the tongue, and of course 1, at the wall, 2 in the face.
    On blocks the patch begins at 13.94: courses 3, 9 and 10, 3 x 2; its side of 34 in by the sheet
    that stays, ceil((34 - 0.75) / 6) + 1 = 7.
    """
    rows, blocks = hatch_shortened(), hatch_shortened(patches="blocks")
    for made, sheet, loose in ((rows, 9, 10 + 2), (blocks, 7, 6)):
        assert nails(made, "boards", "cut end") == 5
        assert nails(made, "panel", "cut end") == sheet
        assert nails(made, "boards", "loosened") == loose
    (fit,) = (
        row["text"] for row in rows["steps"] if (row["do"], row["layer"]) == ("add", "boards")
    )
    assert "Nail the 5 ends that were cut beside them anew." in fit


def test_nails_of_what_stays_are_bought() -> None:
    """With them, of boxes of 20: 5 + 26 + 2 + 1 + 5 + 12 = 51 with 10 % lost are 57, three boxes.

    Without the 17 of what stays they would be 34, with the loss 38: two.
    """
    finish = {"id": "finish", "form": "fastener", "lengths": [2.5], "shank": "ring",
              "feed": "collated", "per_box": 20}  # fmt: skip
    area = surface(
        {"rectangle": [200, 62.5], "type": "ceiling"},
        openings=[{"id": "hatch", "rectangle": [60, 20, 48, 20]}],
        layer={"start": "full_first", "fastening": {"product": "finish"}},
    )
    area["layers"].insert(0, {"id": "panel", "kind": "sheathing", "product": "ply"})
    made = changed(job(area, board("20 ft"), PLY, finish), [76, 20, 32, 20])
    driven = [row["count"] for row in made["work"]["fasteners"] if row["layer"] == "boards"]
    assert sum(driven) == 51
    (line,) = (row for row in made["order"] if row["product"] == "finish")
    assert (line["more"], line["packages"]) == (60, 3)


@pytest.mark.parametrize(("width", "rest"), [(67.625, 5.125), (57.375, 0)])
def test_of_a_nailer_that_stands_only_the_rest_is_set(width: float, rest: float) -> None:
    """A room of twelve courses, 62.5 wide, gets a course more or less; its boards stay up.

    Their ends are nailed to nailers along the walls at 0 and 140, 62.5 long, which nobody takes
    out behind them: 67.625 - 62.5 = 5.125 is set, and of a shorter one nothing.
    """
    before = job(surface({"rectangle": [140, 62.5]}, layer={"start": "full_first"}), board("12 ft"))
    after = copy.deepcopy(before)
    after["surfaces"][0]["rectangle"][1] = width
    found = asked_change({"before": before, "after": after, "installed": "everything"})
    framing = json.loads(found.body)["framing"]
    assert [row["length"] for row in framing if row["do"] == "keep"] == [62.5, 62.5]
    assert [row["length"] for row in framing if row["do"] == "add"] == [rest] * (2 if rest else 0)
    assert not [row for row in framing if row["do"] == "remove"]


def test_a_board_at_the_wall_where_work_starts_slides_on_to_those_that_stay() -> None:
    """A room that starts at its far wall gets a course more there: its first, and no drop-in.

    A face and a blind nail on each of eight joists and at both nailers (18.3), told apart on paper.
    """
    before = job(surface({"rectangle": [140, 62.5]},
                         layer={"start": "full_first", "start_side": "high"}),
                 board("12 ft"))  # fmt: skip
    after = copy.deepcopy(before)
    after["surfaces"][0]["rectangle"][1] = 67.625
    request = {"before": before, "after": after, "installed": "everything"}
    (fit,) = (row["text"] for row in json.loads(asked_change(request).body)["steps"]
              if row["layer"] == "boards")  # fmt: skip
    assert fit == "Fit 1 new board (boards): course 1."
    paper = asked_change(request, TEXT).body.decode()
    rows = [line.split() for line in paper.splitlines() if line.startswith("  boards  first")]
    assert rows == [["boards", "first", "blind", "8"], ["boards", "first", "face", "8"]]


def test_an_opening_that_only_grows_is_taped_anew_and_nothing_is_laid() -> None:
    """20 x 20 becomes 20 x 24, no framing: one sheet is cut in place, and the hole is taped.

    As cut, 1/8 in larger on each side, 20.25 by 24.25 (89 in), and 2.5 at each of four corners
    (13.5): 99 in. Wrap of which a hole is cut larger in place likewise.
    """
    layers = [{"id": "panel", "kind": "sheathing", "product": "ply", "tape": "tape"},
              {"id": "wrap", "kind": "wrap", "product": "roll", "tape": "tape"}]  # fmt: skip
    area = surface(
        {"rectangle": [192, 144], "type": "ceiling"},
        openings=[{"id": "hatch", "rectangle": [60, 60, 20, 20]}],
    )
    area["layers"] = layers
    before = job(area, PLY, ROLL, TAPE, rules={"backing": "none"})
    made = changed(before, [60, 60, 20, 24])
    assert not done(made, "panel", "add", "remove")
    assert len(done(made, "panel", "recut")) == 1
    tape = {(row["layer"], row["where"]): row["length"] for row in made["work"]["consumables"]}
    assert tape == {("panel", "openings"): 99, ("wrap", "openings"): 99}
    assert [(row["product"], row["more"]) for row in made["order"] if row["more"]] == [("tape", 1)]
