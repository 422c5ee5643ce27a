"""Long narrow surfaces on paper: broken into lengths that match, with nothing lost or doubled."""

from __future__ import annotations

import re
from dataclasses import replace
from math import hypot
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from service.products.drawing import Course, DrawnPiece, Joint, Member, Sheet
from service.report.drawing.match_lines import LONG, cut
from service.report.drawing.page import page
from service.report.drawing.svg import draw
from service.units.ticks import INCH
from tests.independent import plotted
from tests.unit.rooms import RECTANGLE, SOFFIT, Room, sheet_of, ticks
from tests.unit.test_svg import HIGH, LEAST_CAPITALS, SVG, WIDE, _group, _overlapping, _texts

EAVE = Room(((0, 0), (720, 0), (720, 24), (0, 24)), name="eave")
UPRIGHT = Room(((0, 0), (24, 0), (24, 480), (0, 480)), direction=90.0, name="return")
ACROSS = Room(((0, 0), (720, 0), (720, 24), (0, 24)), direction=90.0, name="eave across")
SLANT = Room(((0, 0), (720, 0), (720, 24), (0, 24)), direction=45.0, name="eave slant")
STEPPED = Room(((0, 0), (720, 0), (720, 24), (300, 24), (300, 36), (0, 36)), name="step")
VENTED = Room(
    EAVE.outline,
    tuple((f"vent {k}", ((x, 8), (x + 14, 8), (x + 14, 14), (x, 14)))
          for k, x in enumerate((100, 235, 300, 475))),
    name="vented",
)  # fmt: skip
METRIC = replace(EAVE, unit="mm", name="eave-m")
LENGTHS = (EAVE, UPRIGHT, ACROSS, SLANT, STEPPED, VENTED, METRIC, SOFFIT)

every_length = pytest.mark.parametrize("room", LENGTHS, ids=lambda room: str(room.name))


def drawn(sheet: Sheet) -> ElementTree.Element:
    return ElementTree.fromstring(draw([sheet]))


def windows(root: ElementTree.Element) -> list[ElementTree.Element]:
    """The lengths of the page, each cut off at its match lines."""
    return [part for part in root.iter(f"{SVG}svg") if part is not root]


def scale_of(root: ElementTree.Element) -> int:
    found = (re.search(r"about 1 : (\d+)", text.text) for text in _texts(root))
    return next(int(match[1]) for match in found if match)


def matches(root: ElementTree.Element) -> list[str]:
    return [text.text for text in _texts(root) if text.text.startswith("match ")]


@every_length
def test_a_long_surface_is_drawn_in_lengths_much_larger_than_whole(room: Room) -> None:
    """Whole, it would have at most the width (or height) of the page inside its border."""
    root = drawn(sheet_of(room))
    xs, ys = zip(*room.outline, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    whole = wide * 25.4 / (WIDE - 12.7) if wide > high else high * 25.4 / (HIGH - 12.7 - 23)
    assert len(windows(root)) >= 2
    assert scale_of(root) * 1.25 < whole


@every_length
def test_each_match_line_is_named_at_both_of_its_sides(room: Room) -> None:
    root = drawn(sheet_of(room))
    found = matches(root)
    assert len(found) == 2 * (len(windows(root)) - 1)
    assert all(found.count(text) == 2 for text in found)
    letters = sorted({text[6] for text in found})
    assert letters == list("ABCDEF")[: len(letters)]


@every_length
def test_lengths_add_up_to_the_whole(room: Room) -> None:
    """Each window shows the surface from match line to match line; rims of 1 mm at the walls."""
    root = drawn(sheet_of(room))
    xs, ys = zip(*room.outline, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    side, long = ("width", wide) if wide > high else ("height", high)
    shown = sum(float(part.attrib[side]) for part in windows(root)) - 2
    assert shown * scale_of(root) / 25.4 == pytest.approx(long, abs=0.1)


@every_length
def test_texts_are_large_on_the_paper_and_do_not_overlap(room: Room) -> None:
    texts = _texts(drawn(sheet_of(room, notes=("Rip course 1.",))))
    assert _overlapping(texts) == []
    assert min(text.size for text in texts) * LEAST_CAPITALS >= 2.5
    for text in texts:
        left, top, right, bottom = text.box
        assert 6 < left < right < WIDE - 6, text
        assert 6 < top % HIGH < bottom % HIGH < HIGH - 6, text


@every_length
def test_every_joint_is_drawn_and_none_twice(room: Room) -> None:
    """Oblique joints may be parted at a match line; their lengths still add up."""
    sheet = sheet_of(room)
    root = drawn(sheet)
    joints = [mark for mark in sheet.layers[0].marks if isinstance(mark, Joint)]
    long = sum(hypot(m.end[0] - m.start[0], m.end[1] - m.start[1]) for m in joints) / INCH
    lines = [{k: float(v) for k, v in line.attrib.items()} for line in _group(root, "joints")]
    paper = sum(hypot(at["x2"] - at["x1"], at["y2"] - at["y1"]) for at in lines)
    assert paper * scale_of(root) / 25.4 == pytest.approx(long, rel=0.005)


def test_every_course_is_numbered_in_each_length() -> None:
    sheet = sheet_of(replace(EAVE, outline=((0, 0), (720, 0), (720, 36), (0, 36))))
    root = drawn(sheet)
    total = sum(isinstance(mark, Course) for mark in sheet.layers[0].marks)
    numbers = [text.text for text in _texts(root) if text.text.isdigit()]
    assert all(numbers.count(str(k)) >= len(windows(root)) for k in (1, total))


def test_match_lines_keep_off_members_joints_and_openings() -> None:
    sheet = sheet_of(VENTED)
    joints = [mark for mark in sheet.layers[0].marks if isinstance(mark, Joint)]
    marks: list[Member | Joint] = [*sheet.members, *joints]
    stations = {mark.start[0] / INCH for mark in marks}
    for text in set(matches(drawn(sheet))):
        feet, inches = re.findall(r"(\d+)' ([\d]+)", text)[0]
        at = 12 * int(feet) + int(inches)
        assert min(abs(at - station) for station in stations) > 4
        for _, ring in sheet.openings:
            xs = [x / INCH for x, _ in ring]
            assert not min(xs) <= at <= max(xs)


def test_openings_keep_their_size_and_name() -> None:
    texts = [text.text for text in _texts(drawn(sheet_of(VENTED)))]
    assert all(texts.count(f"vent {k}") == 1 for k in range(4))


def test_an_opening_that_no_match_line_can_miss_is_measured_whole() -> None:
    long = tuple(ticks(*at) for at in ((10, 1), (710, 1), (710, 23), (10, 23)))
    sheet = replace(sheet_of(EAVE), openings=(("vent", long),), members=(), layers=())
    root = drawn(sheet)
    texts = [text.text for text in _texts(root)]
    assert texts.count("58' 4\" x 1' 10\"") == len(windows(root)) >= 2
    assert _overlapping(_texts(root)) == []


@pytest.mark.parametrize("members", [(), (Member(ticks(0, 12), ticks(720, 12), "1' 0\""),)])
def test_a_surface_without_cross_members_is_broken_into_equal_lengths(members: Any) -> None:
    root = drawn(replace(sheet_of(EAVE), members=members, layers=()))
    wide = [float(part.attrib["width"]) for part in windows(root)]
    assert len(wide) >= 2
    assert max(wide) - min(wide) < 2.1


HALL = Room(((0, 0), (840, 0), (840, 600), (0, 600)), name="hall")
BARN = Room(((0, 0), (900, 0), (900, 300), (500, 300), (500, 500), (0, 500)), name="barn")


@pytest.mark.parametrize("room", [*LENGTHS, HALL, BARN, replace(HALL, direction=45.0)],
                         ids=lambda room: f"{room.name} {room.direction:.0f}")  # fmt: skip
def test_parts_are_drawn_at_a_quarter_inch_to_the_foot_or_larger(room: Room) -> None:
    """At 1 : 48 boards of 3 in can be told apart; a page of all of it may come before."""
    body = draw([sheet_of(room)])
    for found in plotted.pages(body):
        assert found.scale is not None
        assert found.scale <= 48 or "In parts, and larger, on the next pages." in found.said()
    scales = {found.scale for found in plotted.pages(body)[1:]}
    assert len(scales) <= 1


@pytest.mark.parametrize("room", [HALL, BARN], ids=lambda room: str(room.name))
def test_parts_of_a_hall_are_named_where_they_meet_and_are_all_of_it(room: Room) -> None:
    """A match line is named once on either side in each row or column of parts that it crosses."""
    body = draw([sheet_of(room)])
    whole, *parts = plotted.pages(body)
    assert len(parts) >= 4
    assert [plotted.lines_off_the_paper(found) for found in parts] == [[] for _ in parts]
    named = [text.text for found in parts for text in found.texts if text.text[:6] == "match "]
    assert named
    assert all(named.count(text) % 2 == 0 for text in named)
    area = sum(
        (found.scale or 0) ** 2 * Polygon(rings[0]).area / 25.4**2
        for found in parts
        for rings in found.outlines
    )
    assert area == pytest.approx(Polygon(room.outline).area, rel=0.001)
    assert plotted.overlapping(whole.texts) == []
    assert all(text.box[2] < WIDE - 6 for text in whole.texts)


@pytest.mark.parametrize("room", [HALL, BARN], ids=lambda room: str(room.name))
def test_parts_meet_between_courses_and_no_joint_is_parted(room: Room) -> None:
    sheet = sheet_of(room)
    _, *parts = plotted.pages(draw([sheet]))
    joints = [mark for mark in sheet.layers[0].marks if isinstance(mark, Joint)]
    assert sum(len(found.joints) for found in parts) == len(joints)
    assert parts[0].scale is not None
    size = 25.4 / parts[0].scale
    true = {round(hypot(m.end[0] - m.start[0], m.end[1] - m.start[1]) / INCH, 2) for m in joints}
    for found in parts:
        for a, b in found.joints:
            long = hypot(b[0] - a[0], b[1] - a[1]) / size
            assert min(abs(long - one) for one in true) < 0.05


def test_what_would_take_too_many_pages_stays_on_one() -> None:
    side = 400 * 12
    sheet = sheet_of(replace(HALL, outline=((0, 0), (12, 0), (12, 12), (0, 12))))
    ring = tuple(ticks(*at) for at in ((0, 0), (side, 0), (side, side), (0, side)))
    assert len(plotted.pages(draw([replace(sheet, outline=(ring,))]))) == 1


def test_a_room_is_never_broken() -> None:
    assert windows(drawn(sheet_of(RECTANGLE))) == []
    short = Room(((0, 0), (24 * LONG, 0), (24 * LONG, 24), (0, 24)), name="short")
    assert windows(drawn(sheet_of(short))) == []


def test_pages_of_a_document_are_broken_each_for_itself() -> None:
    root = ElementTree.fromstring(draw([sheet_of(RECTANGLE), sheet_of(EAVE)]))
    tops = [float(part.attrib["y"]) for part in windows(root)]
    assert tops
    assert all(top > HIGH for top in tops)
    assert 'class="matches"' not in page(sheet_of(RECTANGLE), None, 1, 1)


corner = st.tuples(st.integers(-500, 500), st.integers(-500, 500))


@given(st.lists(corner, min_size=3, max_size=12, unique=True),
       st.integers(-400, 0), st.integers(1, 400), st.sampled_from([0, 1]))  # fmt: skip
def test_a_ring_is_cut_as_another_clipper_cuts_it(
    points: list[tuple[int, int]], low: int, high: int, axis: int
) -> None:
    """Against shapely, on convex rings; each new corner is rounded to a tick."""
    shape = Polygon(points).convex_hull
    if shape.geom_type != "Polygon":
        return
    shape = Polygon([(round(x * 40_000), round(y * 40_000)) for x, y in shape.exterior.coords])
    ring = tuple((int(x), int(y)) for x, y in shape.exterior.coords[:-1])
    span = (low * 40_000, high * 40_000)
    far = 10**9
    frame = (span[0], -far, span[1], far) if axis == 0 else (-far, span[0], far, span[1])
    kept = cut(ring, axis, span)
    area = Polygon(kept).area if len(kept) > 2 else 0.0
    assert area == pytest.approx(shape.intersection(box(*frame)).area, abs=shape.length)


def test_a_ring_that_turns_back_is_cut_with_its_area() -> None:
    """A U cut across both legs: two areas joined along the cut, none of the notch."""
    ring = ((0, 0), (100, 0), (100, 30), (20, 30), (20, 60), (100, 60), (100, 90), (0, 90))
    kept = cut(ring, 0, (50, 100))
    shape = Polygon(ring).intersection(box(50, 0, 100, 90))
    pairs = zip(kept, (*kept[1:], kept[0]), strict=True)
    assert abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2 == shape.area


def test_what_lies_outside_is_not_drawn() -> None:
    assert cut(((0, 0), (10, 0), (10, 10), (0, 10)), 0, (10, 20)) == ()
    assert cut(((0, 0), (10, 0), (10, 10), (0, 10)), 1, (-5, -1)) == ()


def test_pieces_parted_by_a_match_line_are_whole_together() -> None:
    sheet = sheet_of(EAVE)
    root = drawn(sheet)
    true = sum(Polygon(mark.rings[0]).area for mark in sheet.layers[0].marks
               if isinstance(mark, DrawnPiece)) / INCH**2  # fmt: skip
    found = 0.0
    for path in _group(root, "pieces"):
        pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.attrib["d"])
        found += Polygon([(float(x), float(y)) for x, y in pairs]).area
    assert found * (scale_of(root) / 25.4) ** 2 == pytest.approx(true, rel=0.002)
