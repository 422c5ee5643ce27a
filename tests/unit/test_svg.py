"""The drawing, read back from its SVG by means of its own: nothing here measures as the drawer."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations, pairwise
from math import cos, hypot, pi, sin
from typing import TypeVar
from xml.etree import ElementTree

import pytest

from service.errors import ShapeRefused
from service.products.drawing import (
    Course,
    Dimension,
    DrawnLayer,
    DrawnPiece,
    Joint,
    Member,
    Point,
    Sheet,
    station_text,
    width_text,
)
from service.report.drawing.page import page
from service.report.drawing.placing import crosses
from service.report.drawing.svg import draw
from service.units.ticks import INCH, MM
from tests.independent.plotted import advance
from tests.unit.rooms import (
    ANGLED,
    BENT,
    HALL,
    METRIC,
    RECTANGLE,
    ROOMS,
    SLANTED,
    TEE,
    UPRIGHT,
    Room,
    sheet_of,
    ticks,
    with_dimension,
)

SVG = "{http://www.w3.org/2000/svg}"
WIDE, HIGH = 279.4, 215.9
LEAST_CAPITALS = 0.688
"""Height of capitals in ems in the common sans-serif face in which they are lowest."""

NOTES = ("Rip the groove edge off course 1.", "Joints on members only.")
HOSTILE = "<script>alert(1)</script>&\"' ]]> \x00\x01\x0b\ufffe\ud800\u202e end"


@dataclass(frozen=True)
class Text:
    """One text of the drawing with the box that its ink takes at the least."""

    text: str
    x: float
    y: float
    size: float
    box: tuple[float, float, float, float]


def _texts(root: ElementTree.Element) -> list[Text]:
    found = []
    for element in root.iter(f"{SVG}text"):
        x, y, size = (float(element.attrib[name]) for name in ("x", "y", "font-size"))
        text = element.text or ""
        wide = size * sum(map(advance, text))
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[element.attrib["text-anchor"]]
        found.append(Text(text, x, y, size, (left, y - 0.75 * size, left + wide, y + 0.2 * size)))
    return found


_written = cache(draw)
"""A drawing of sheets, once for all that is looked for in it."""


def _drawn(*sheets: Sheet, **picked: str) -> ElementTree.Element:
    return ElementTree.fromstring(_written(sheets, **picked))


def _whole(sheet: Sheet) -> ElementTree.Element:
    """The page that has all of a surface."""
    (layer,) = sheet.layers
    body = page(sheet, layer, 1, 1)
    return ElementTree.fromstring(f'<svg xmlns="{SVG[1:-1]}">{body}</svg>')


def _group(root: ElementTree.Element, name: str) -> list[ElementTree.Element]:
    return [child for group in root.iter(f"{SVG}g") if group.get("class") == name
            for child in group]  # fmt: skip


def _rings(path: ElementTree.Element) -> Iterator[list[tuple[float, float]]]:
    for part in path.attrib["d"].split("Z"):
        pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", part)
        if pairs:
            yield [(float(x), float(y)) for x, y in pairs]


def _area(ring: list[tuple[float, float]]) -> float:
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


def _path_area(path: ElementTree.Element) -> float:
    first, *holes = (abs(_area(ring)) for ring in _rings(path))
    return first - sum(holes)


T = TypeVar("T")


def _marks(sheet: Sheet, kind: type[T]) -> list[T]:
    return [mark for layer in sheet.layers for mark in layer.marks if isinstance(mark, kind)]


def _scale(root: ElementTree.Element) -> int:
    found = [re.search(r"about 1 : (\d+)", text.text) for text in _texts(root)]
    return next(int(match[1]) for match in found if match)


def _overlapping(texts: list[Text]) -> list[tuple[str, str]]:
    found = []
    for one, two in combinations(sorted(texts, key=lambda text: text.box[1]), 2):
        a, b = one.box, two.box
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            found.append((one.text, two.text))
    return found


def _named(room: Room) -> str:
    return room.name


every_room = pytest.mark.parametrize("room", ROOMS, ids=_named)


@every_room
def test_no_two_labels_overlap(room: Room) -> None:
    assert _overlapping(_texts(_drawn(sheet_of(room, notes=NOTES)))) == []


@every_room
def test_labels_stay_on_the_paper(room: Room) -> None:
    for text in _texts(_drawn(sheet_of(room, notes=NOTES))):
        left, top, right, bottom = text.box
        assert 6 < left < right < WIDE - 6, text
        assert 6 < top % HIGH < bottom % HIGH < HIGH - 6, text


@every_room
def test_capitals_are_two_and_a_half_millimetres_high(room: Room) -> None:
    texts = _texts(_drawn(sheet_of(room, notes=NOTES)))
    assert min(text.size for text in texts) * LEAST_CAPITALS >= 2.5


@every_room
def test_every_piece_is_one_shape_and_areas_are_true(room: Room) -> None:
    """A piece that a match line parts is one shape on either side of it."""
    sheet = sheet_of(room)
    root = _whole(sheet)
    shapes, pieces = _group(root, "pieces"), _marks(sheet, DrawnPiece)
    parted = sum(1 for part in root.iter(f"{SVG}svg") if part is not root) > 0
    assert len(shapes) > len(pieces) if parted else len(shapes) == len(pieces)
    scale = MM * _scale(root)
    true = sum(abs(_area([(x / scale, y / scale) for x, y in piece.rings[0]])) for piece in pieces)
    rims = sum(
        hypot(b[0] - a[0], b[1] - a[1])
        for shape in shapes
        for ring in _rings(shape)
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    )
    assert sum(map(_path_area, shapes)) == pytest.approx(true, abs=rims * 0.0008)


@every_room
def test_every_joint_is_a_bold_line(room: Room) -> None:
    sheet = sheet_of(room)
    root = _whole(sheet)
    assert len(_group(root, "joints")) == len(_marks(sheet, Joint))
    bold = [group for group in root.iter(f"{SVG}g") if group.get("class") == "joints"]
    assert all(float(group.attrib["stroke-width"]) >= 0.45 for group in bold)


@every_room
def test_only_black_white_and_greys(room: Room) -> None:
    body = _written((sheet_of(room, notes=NOTES),)).decode()
    for colour in re.findall(r'"(#[0-9a-f]+)"', body):
        digits = colour[1:] * (2 if len(colour) == 4 else 1)
        assert digits[0:2] == digits[2:4] == digits[4:6], colour
    assert set(re.findall(r'(?:fill|stroke)="([^#"]+)"', body)) <= {"none"}


@every_room
def test_no_label_lies_on_the_outline(room: Room) -> None:
    root = _drawn(sheet_of(room, notes=NOTES))
    ring = next(_rings(_group(root, "outline")[0]))
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    on_it = [t.text for t in _texts(root) if any(crosses(edge, t.box) for edge in edges)]
    assert on_it == []


@every_room
def test_white_behind_words_never_breaks_the_outline(room: Room) -> None:
    root = _drawn(sheet_of(room, notes=NOTES))
    ring = next(_rings(_group(root, "outline")[0]))
    edges = list(zip(ring, ring[1:] + ring[:1], strict=True))
    for rect in root.iter(f"{SVG}rect"):
        if rect.get("fill") == "#fff" and rect.get("class") != "paper":
            x, y, wide, high = (float(rect.attrib[n]) for n in ("x", "y", "width", "height"))
            inner = (x + 0.5, y + 0.2, x + wide - 0.5, y + high - 0.2)
            assert not any(crosses(edge, inner) for edge in edges)


def test_page_is_letter_paper_in_millimetres() -> None:
    root = _drawn(sheet_of(RECTANGLE))
    assert (root.get("width"), root.get("height")) == ("279.4mm", "215.9mm")
    assert root.get("viewBox") == "0 0 279.4 215.9"


def test_pages_stand_one_below_the_other() -> None:
    rooms = (RECTANGLE, BENT, SLANTED)
    root = _drawn(*(sheet_of(room) for room in rooms))
    assert root.get("viewBox") == "0 0 279.4 647.7"
    for k, room in enumerate(rooms):
        title = next(t for t in _texts(root) if t.text == f"Boards on {room.name}")
        assert k * HIGH < title.y < (k + 1) * HIGH
    assert {f"page {k} of 3" for k in (1, 2, 3)} <= {
        found[0] for t in _texts(root) if (found := re.search(r"page \d of \d", t.text))
    }
    assert _overlapping(_texts(root)) == []


def test_document_stands_by_itself() -> None:
    body = draw([sheet_of(room) for room in ROOMS[:2]]).decode()
    for word in ("script", "href", "foreignObject", "style", "DOCTYPE", "url(", "<image", "<use"):
        assert word not in body
    assert not re.search(r"\son\w+=", body)
    assert re.findall(r"https?://[^\"\s]+", body) == ["http://www.w3.org/2000/svg"]


def test_hostile_texts_are_words_and_nothing_else() -> None:
    sheet = sheet_of(BENT, title=HOSTILE, notes=(HOSTILE, HOSTILE * 20))
    hostile = replace(
        sheet, surface=HOSTILE, view_note=HOSTILE, openings=((HOSTILE, sheet.openings[0][1]),),
        layers=(replace(sheet.layers[0], layer=HOSTILE, kind=HOSTILE),),
    )  # fmt: skip
    root = _drawn(hostile)
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {
        "svg", "title", "g", "path", "line", "rect", "text",
    }  # fmt: skip
    assert any("<script>alert" in text.text for text in _texts(root))
    assert _overlapping(_texts(root)) == []


def test_same_sheets_same_bytes() -> None:
    assert draw([sheet_of(BENT)]) == draw([sheet_of(BENT)])


def test_title_strip_says_how_the_page_may_be_used() -> None:
    texts = {text.text for text in _texts(_drawn(sheet_of(BENT)))}
    assert {"Do not scale; go by the figures.", "layer: boards (boarding)"} <= texts
    assert {"outline", "opening", "member, its centre", "end joint", "ripped piece"} <= texts
    assert any(text.startswith("Seen from below") for text in texts)


def test_legend_explains_only_what_is_drawn() -> None:
    texts = {text.text for text in _texts(_drawn(sheet_of(UPRIGHT)))}
    assert not {"opening", "end joint"} & texts


def test_joint_stations_stand_under_their_joints() -> None:
    root = _drawn(sheet_of(RECTANGLE))
    low = max(y for ring in _rings(_group(root, "outline")[0]) for _, y in ring)
    columns = {float(line.attrib["x1"]) for line in _group(root, "joints")}
    row = [text for text in _texts(root) if low < text.y < low + 8 and text.text[0].isdigit()]
    assert {text.x for text in row} == columns
    stations = {joint.station_text for joint in _marks(sheet_of(RECTANGLE), Joint)}
    assert {text.text for text in row} == stations


@pytest.mark.parametrize("stations", [(60, 66), (40, 47, 120), (16, 60, 66, 72, 140)])
def test_joints_near_each_other_each_have_their_station(stations: tuple[int, ...]) -> None:
    """6 in are 5 mm on that page, and a station is three times as wide: they go into rows."""
    marks = tuple(
        Joint(ticks(at, 20), ticks(at, 25), station_text(at * INCH, "in")) for at in stations
    )
    sheet = replace(sheet_of(RECTANGLE), layers=(DrawnLayer("boards", "boarding", marks),))
    texts = {text.text for text in _texts(_drawn(sheet))}
    assert {mark.station_text for mark in marks} <= texts


def _numbers(root: ElementTree.Element) -> list[int]:
    """Course numbers in the column nearest to the drawing at its left."""
    head = next(text for text in _texts(root) if text.text == "no.")
    return [int(text.text) for text in _texts(root) if text.x == head.x and text.text.isdigit()]


def test_a_small_room_numbers_nearly_every_course() -> None:
    sheet = sheet_of(RECTANGLE)
    total = len(_marks(sheet, Course))
    numbers = _numbers(_drawn(sheet))
    assert total == 29
    assert {1, total} <= set(numbers)
    assert len(numbers) >= total - 2


def test_a_hall_numbers_each_nth_course_and_the_first_and_last() -> None:
    sheet = sheet_of(HALL)
    total = len(_marks(sheet, Course))
    numbers = sorted(_numbers(_drawn(sheet)))
    assert total == 281
    assert numbers[0] == 1
    assert numbers[-1] == total
    inner = numbers[1:-1]
    steps = {b - a for a, b in pairwise(inner)}
    assert len(inner) > 8
    assert len(steps) == 1
    assert all(number % steps.copy().pop() == 0 for number in inner)


def test_what_was_left_out_is_said() -> None:
    words = "Some labels left out; see the takeoff."
    assert words in {text.text for text in _texts(_drawn(sheet_of(HALL)))}
    small = Room(((0, 0), (60, 0), (60, 18), (0, 18)))
    assert words not in {text.text for text in _texts(_drawn(sheet_of(small)))}


def test_course_edges_stand_at_both_sides_at_the_height_of_the_course() -> None:
    sheet = sheet_of(RECTANGLE)
    texts = _texts(_drawn(sheet))
    for course in _marks(sheet, Course)[2:-2]:
        row = [text for text in texts if text.text in {course.near_text, course.far_text}]
        number = next(text for text in texts if text.text == str(course.number))
        assert {text.text for text in row if abs(text.y - number.y) < 0.01} == {
            course.near_text, course.far_text,
        }  # fmt: skip


@pytest.mark.parametrize(
    ("room", "lengths"),
    [
        (RECTANGLE, {"16' 0\"", "12' 0\""}),
        (BENT, {"20' 0\"", "15' 0\"", "14' 0\"", "8' 0\"", "7' 6\"", "7' 0\"", "12' 6-1/2\""}),
        (TEE, {"17' 0\"", "10' 0\"", "6' 0\"", "5' 0\"", "4' 0\""}),
        (METRIC, {"4877", "3658"}),
    ],
    ids=lambda value: value.name if isinstance(value, Room) else "",
)
def test_edges_of_the_outline_are_measured(room: Room, lengths: set[str]) -> None:
    root = _drawn(sheet_of(room))
    assert lengths <= {text.text for text in _texts(root)}


def test_openings_are_hatched_inside_and_named() -> None:
    root = _drawn(sheet_of(BENT))
    ring = next(_rings(_group(root, "openings")[0]))
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    lines = _group(root, "hatching")
    assert len(lines) > 10
    for line in lines:
        for k in (1, 2):
            assert min(xs) - 0.01 <= float(line.attrib[f"x{k}"]) <= max(xs) + 0.01
            assert min(ys) - 0.01 <= float(line.attrib[f"y{k}"]) <= max(ys) + 0.01
    name = next(text for text in _texts(root) if text.text == "hatch")
    assert min(xs) < name.x < max(xs)


@pytest.mark.parametrize("at", [(60, 0), (100, 140)])
def test_the_name_of_a_low_opening_at_a_wall_stands_on_the_surface(at: tuple[int, int]) -> None:
    """Beyond the wall it would stand among the stations of joints."""
    x, y = at
    low = tuple(ticks(*corner) for corner in ((x, y), (x + 36, y), (x + 36, y + 4), (x, y + 4)))
    root = _drawn(replace(sheet_of(RECTANGLE), openings=(("sill", low),)))
    ring = next(_rings(_group(root, "outline")[0]))
    heights = [height for _, height in ring]
    name = next(text for text in _texts(root) if text.text == "sill")
    assert min(heights) < name.box[1] < name.box[3] < max(heights)


def test_members_are_drawn_only_on_the_surface() -> None:
    across = tuple(
        Member(ticks(x, -10), ticks(x, 190), str(x)) for x in (0.75, 60, 149, 151, 200, 300)
    )
    root = _drawn(replace(sheet_of(BENT), members=across))
    lines = _group(root, "members")
    ring = next(_rings(_group(root, "outline")[0]))
    scale = _scale(root)
    low = max(y for _, y in ring)
    highs = [(low - float(line.attrib["y2"])) * scale / 25.4 for line in lines]
    assert [float(line.attrib["y1"]) for line in lines] == [low] * 5
    assert highs == pytest.approx([168.06, 172.8, 179.92, 96, 96], abs=0.05)


def test_a_round_opening_is_hatched_within_its_circle() -> None:
    circle = tuple(
        ticks(100 + 12 * cos(k * pi / 32), 70 + 12 * sin(k * pi / 32)) for k in range(64)
    )
    sheet = replace(sheet_of(RECTANGLE), openings=(("fan", circle),))
    root = _drawn(sheet)
    ring = next(_rings(_group(root, "openings")[0]))
    middle = sum(x for x, _ in ring) / 64, sum(y for _, y in ring) / 64
    radius = max(hypot(x - middle[0], y - middle[1]) for x, y in ring)
    for line in _group(root, "hatching"):
        ends = [(float(line.attrib[f"x{k}"]), float(line.attrib[f"y{k}"])) for k in (1, 2)]
        assert all(hypot(x - middle[0], y - middle[1]) <= radius + 0.01 for x, y in ends)
    assert _overlapping(_texts(root)) == []


def test_a_hole_in_the_outline_is_drawn() -> None:
    sheet = sheet_of(RECTANGLE)
    hole = tuple(ticks(*at) for at in ((60, 40), (60, 80), (120, 80), (120, 40)))
    root = _drawn(replace(sheet, outline=(*sheet.outline, hole)))
    assert len(list(_rings(_group(root, "outline")[0]))) == 2
    assert "5' 0\"" in {text.text for text in _texts(root)}


def test_a_measure_that_a_kind_asks_for_is_drawn() -> None:
    asked = Dimension(ticks(20, 100), ticks(120, 100), "8' 4\" asked")
    root = _drawn(with_dimension(sheet_of(RECTANGLE), asked))
    assert asked.text in {text.text for text in _texts(root)}
    assert _overlapping(_texts(root)) == []


def test_a_measure_without_length_is_only_its_text() -> None:
    asked = Dimension(ticks(50, 70), ticks(50, 70), "here")
    assert "here" in {text.text for text in _texts(_drawn(with_dimension(_bare(), asked)))}


def _bare() -> Sheet:
    return replace(sheet_of(RECTANGLE), layers=(DrawnLayer("boards", "boarding", ()),))


def test_slanting_courses_are_numbered_at_their_low_ends() -> None:
    sheet = sheet_of(ANGLED)
    texts = {text.text.split(":")[0] for text in _texts(_drawn(sheet))}
    assert {str(course.number) for course in _marks(sheet, Course)} <= texts


def test_long_notes_are_cut_and_said_to_go_on() -> None:
    root = _drawn(sheet_of(RECTANGLE, notes=tuple(f"Note {k}. " + "word " * 60 for k in range(9))))
    texts = [text.text for text in _texts(root)]
    assert "More notes stand in the answer." in texts
    assert sum(text.startswith("Note") for text in texts) < 4


def _twice_layered() -> Sheet:
    sheet = sheet_of(RECTANGLE)
    return replace(sheet, layers=(DrawnLayer("straps", "strapping", ()), sheet.layers[0]))


def test_each_layer_has_its_page_from_the_framing_outward() -> None:
    texts = [t.text for t in _texts(_drawn(_twice_layered())) if t.text.startswith("layer: ")]
    assert texts == ["layer: straps (strapping), 1 of 2", "layer: boards (boarding), 2 of 2"]


def test_a_surface_without_layers_still_has_its_page() -> None:
    root = _drawn(replace(sheet_of(RECTANGLE), layers=()))
    assert "no layer" in {text.text for text in _texts(root)}
    assert len(_group(root, "outline")) == 1


def test_one_surface_and_one_layer_can_be_picked() -> None:
    sheets = (_twice_layered(), sheet_of(BENT))
    root = _drawn(*sheets, surface="loft", layer="boards")
    texts = {text.text for text in _texts(root)}
    assert root.get("viewBox") == "0 0 279.4 215.9"
    assert "layer: boards (boarding), 2 of 2" in texts
    assert root.find(f"{SVG}title") is not None
    assert len(_group(_drawn(*sheets, layer="boards"), "outline")) == 2


@pytest.mark.parametrize(
    ("picked", "code", "listed"),
    [
        ({"surface": "cellar"}, "unknown-surface", "attic, loft"),
        ({"layer": "wrap"}, "unknown-layer", "boards, straps"),
        ({"surface": "attic", "layer": "straps"}, "unknown-layer", "boards"),
        ({"surface": ""}, "unknown-surface", "attic, loft"),
    ],
)
def test_an_unknown_pick_is_refused_with_what_there_is(
    picked: dict[str, str], code: str, listed: str
) -> None:
    with pytest.raises(ShapeRefused) as refused:
        draw([_twice_layered(), sheet_of(BENT)], **picked)
    (fault,) = refused.value.faults
    parameter = code.removeprefix("unknown-")
    assert fault.code == code
    assert f"query parameter `{parameter}`" in fault.detail
    assert f"it has: {listed}." in fault.detail
    assert not any(value and value in fault.detail for value in picked.values()
                   if value in {"cellar", "wrap"})  # fmt: skip


def _square(side: int) -> tuple[Point, ...]:
    return ((0, 0), (side, 0), (side, side), (0, side))


@pytest.mark.parametrize("side", [MM, INCH, 12 * INCH, 1000 * 12 * INCH, 10_000_000 * MM])
def test_any_size_of_surface_can_be_drawn(side: int) -> None:
    sheet = Sheet("a", "A", (_square(side),), (), (), (), "seen from below", "in")
    root = _drawn(sheet)
    ring = next(_rings(_group(root, "outline")[0]))
    assert all(6 < x < WIDE - 6 and 6 < y < HIGH - 29 for x, y in ring)


@pytest.mark.parametrize(
    ("value", "unit", "station", "width"),
    [
        (150 * INCH + INCH // 2, "in", "12' 6-1/2\"", '150-1/2"'),
        (4 * INCH + INCH // 8, "ft", '4-1/8"', '4-1/8"'),
        (INCH // 32, "in", '1/16"', '1/32"'),
        (104_775 * MM // 1000, "mm", "105", "104.8"),
        (-MM, "m", "-1", "-1.0"),
        (0, "cm", "0", "0.0"),
    ],
)
def test_stations_and_widths_are_written_to_the_trade_s_fractions(
    value: int, unit: str, station: str, width: str
) -> None:
    assert (station_text(value, unit), width_text(value, unit)) == (station, width)
