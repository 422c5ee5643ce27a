"""The jobs that are measured: the demo, orders, rooms and halls of usual and of awkward shape.

All are made of the large example's board; drawn ones depend on their seed and number alone.
"""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from service.demo import JOB

Job = dict[str, Any]
"""A request."""

LARGE: Job = json.loads(
    (Path(__file__).parents[2] / "openapi/examples/large.json").read_text(encoding="utf-8")
)
INCHES = 12

BEHIND = [
    {"kind": "sheathing", "product": "sheet"},
    {"kind": "wrap", "product": "roll", "tape": "tape"},
]
GOODS: list[Job] = [
    {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
     "stock": [{"length": 95.875, "price": "31.50"}]},
    {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft", "price": "62"}]},
    {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"},
]  # fmt: skip

ELEVEN = (
    ("veranda", "31' 8\"", "10' 2\""), ("porch", "14' 3\"", "6' 9\""),
    ("carport", "19' 6\"", "18' 4\""), ("soffit-east", "32' 0\"", "2' 1\""),
    ("soffit-west", "32' 0\"", "2' 1\""), ("soffit-north", "24' 5\"", "1' 7\""),
    ("soffit-south", "24' 5\"", "1' 7\""), ("entry", "8' 10\"", "5' 11\""),
    ("balcony", "16' 1\"", "4' 6\""), ("passage", "27' 9\"", "3' 8\""),
    ("summer-kitchen", "12' 7\"", "11' 3\""),
)  # fmt: skip
"""Name, length and width of the surfaces of one order, all of one board."""


def _of(surfaces: list[Job]) -> Job:
    """A job of these surfaces."""
    return dict(LARGE, surfaces=surfaces)


def _ceiling(**shape: Any) -> Job:
    """A ceiling of another shape than the large example's first, without openings."""
    plain = {k: v for k, v in LARGE["surfaces"][0].items() if k not in ("rectangle", "openings")}
    return plain | shape


def room(length: str, width: str, openings: list[Job]) -> Job:
    """A rectangular ceiling."""
    return _of([_ceiling(rectangle=[length, width], openings=openings)])


def with_layers_behind(job: Job) -> Job:
    """The same job with sheets and wrap behind the boards."""
    surfaces = [one | {"layers": [*BEHIND, *one["layers"]]} for one in job["surfaces"]]
    return job | {"surfaces": surfaces, "products": [*job["products"], *GOODS]}


def eleven() -> Job:
    """One order for eleven surfaces."""
    return _of([
        _ceiling(rectangle=[length, width], id=name,
                 type="soffit" if "soffit" in name else "ceiling")
        for name, length, width in ELEVEN
    ])  # fmt: skip


def out_of_square(by: int) -> Job:
    """A room 24 x 32 ft of which one wall runs out of square by so many inches."""
    long, wide = 32 * INCHES, 24 * INCHES
    return _of([_ceiling(outline=[[0, 0], [long, 0], [long - by, wide], [0, wide]])])


def slanted_hall() -> Job:
    """A hall 120 x 200 ft of which both ends slant."""
    long, wide = 200 * INCHES, 120 * INCHES
    return _of([_ceiling(outline=[[0, 0], [long, 0], [long - 500, wide], [300, wide]])])


def lamps(count: int) -> Job:
    """A hall 30 x 50 ft with so many round openings, each under a flange."""
    rows, columns = 5, count // 5
    openings = [
        {"id": f"lamp_{row}_{k}", "flange": 0.75,
         "circle": [(2 * k + 1) * 50 * INCHES / (2 * columns), (2 * row + 1) * 36, 6]}
        for row in range(rows) for k in range(columns)
    ]  # fmt: skip
    return room("50 ft", "30 ft", openings)


def sheet_sizes(count: int) -> Job:
    """A room over sheets of so many lengths, two inches apart."""
    job = with_layers_behind(room("32 ft", "24 ft", []))
    stock = [{"length": 95.875 + 2 * k, "price": f"{31.5 + 0.7 * k:.2f}"} for k in range(count)]
    products = [one | {"stock": stock} if one["id"] == "sheet" else one for one in job["products"]]
    return job | {"products": products}


def rooms_together(count: int) -> Job:
    """One order for so many drawn rectangular rooms."""
    rng = Random(f"rooms/{count}")
    return _of([
        _ceiling(id=f"room-{k}", rectangle=[rng.randint(60, 360), rng.randint(40, 200)])
        for k in range(count)
    ])  # fmt: skip


def drawn_room(number: int) -> Job:
    """A room of 12 to 36 ft by 6 to 24 ft: plain, L-shaped or slanted, up to three openings."""
    rng = Random(f"drawn/{number}")
    long, wide = rng.randint(144, 432), rng.randint(72, 288)
    shape = (_plain, _corner, _slant)[number % 3](rng, long, wide)
    holes = [_hole(rng, k, long // 2, wide // 2) for k in range(rng.randint(0, 3))]
    return _of([_ceiling(openings=holes, **shape)])


def drawn_porch(number: int) -> Job:
    """A porch of 8 to 30 ft by 5 to 12 ft, as a yard has them stored; half of them with a light."""
    rng = Random(f"porch/{number}")
    long, wide = rng.randint(96, 360), rng.randint(60, 144)
    light = [_hole(rng, 0, long // 2, wide // 2)] if number % 2 else []
    return _of([_ceiling(rectangle=[long, wide], openings=light)])


def _plain(rng: Random, long: int, wide: int) -> Job:
    return {"rectangle": [long, wide]}


def _corner(rng: Random, long: int, wide: int) -> Job:
    x, y = rng.randint(long * 6 // 10, long * 8 // 10), rng.randint(wide * 6 // 10, wide * 8 // 10)
    return {"outline": [[0, 0], [long, 0], [long, y], [x, y], [x, wide], [0, wide]]}


def _slant(rng: Random, long: int, wide: int) -> Job:
    step = rng.randint(1, 30)
    return {"outline": [[0, 0], [long, 0], [long - step, wide], [0, wide]]}


def _hole(rng: Random, number: int, long: int, wide: int) -> Job:
    """A round opening somewhere in the half of the room that every shape has."""
    at = [rng.randint(20, max(21, long - 10)), rng.randint(20, max(21, wide - 10))]
    return {"id": f"hole-{number}", "circle": [*at, rng.randint(4, 12)], "flange": 0.75}


HALLS = {"hall 30 x 50 ft": (50, 30), "hall 60 x 100 ft": (100, 60),
         "hall 120 x 200 ft": (200, 120)}  # fmt: skip
BUILT_UP = ("room 24 x 32 ft, 4 openings", "hall 60 x 100 ft")
"""Jobs that are measured with sheets and wrap behind the boards too."""


def usual() -> dict[str, Job]:
    """The jobs of the first tables by name."""
    found = {
        "demo porch": json.loads(JOB.read_bytes()),
        "one order for eleven surfaces": eleven(),
        "room 24 x 32 ft, 4 openings": room("32 ft", "24 ft", LARGE["surfaces"][0]["openings"]),
    }
    found |= {name: room(f"{a} ft", f"{b} ft", []) for name, (a, b) in HALLS.items()}
    return found | {f"{name}, three layers": with_layers_behind(found[name]) for name in BUILT_UP}


FAMILIES: dict[str, dict[int, Job]] = {
    "out of square by inches": {by: out_of_square(by) for by in (0, 1, 4)},
    "round lamps": {count: lamps(count) for count in (10, 25, 50)},
    "sheet sizes": {count: sheet_sizes(count) for count in (1, 12)},
    "rooms in one order": {count: rooms_together(count) for count in (8, 30, 60)},
}
"""Jobs that grow by one measure."""


def awkward() -> dict[str, Job]:
    """Those that take long for their size."""
    grown = {
        f"{name}: {count}": job for name, found in FAMILIES.items() for count, job in found.items()
    }
    return grown | {"slanted hall 120 x 200 ft": slanted_hall()}


def drawn(count: int = 18) -> dict[str, Job]:
    """Drawn rooms, an equal number of each shape."""
    return {f"drawn room {number}": drawn_room(number) for number in range(count)}
