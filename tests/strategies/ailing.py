"""Jobs with something wrong: one for each code that can have a cure, and some drawn by chance."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from tests.strategies import build_ups, jobs
from tests.strategies.requests import board, changed, job, room, supports, surface

Request = dict[str, Any]
Edit = tuple[str, Any]

LAYER = "/surfaces/0/layers/0"
ALONG = supports(direction=0)
NAIL = {"id": "nail", "form": "fastener", "lengths": [1.5], "shank": "smooth"}
TWO_ROOMS = job([room(180, 60) | {"id": name} for name in ("one", "two")])
LAPPED = board("8 ft", "16 ft", cover=6, overall=7.25, profile="lapped")

PANELS: Request = {
    "unit": "in",
    "surfaces": [{
        "id": "loft", "view": "facing", "rectangle": [240, 144],
        "supports": {"direction": 90, "first": 16, "spacing": 16, "ends": True},
        "layers": [{"id": "panels", "kind": "sheathing", "product": "sheet",
                    "fastening": {"product": "nail"}}],
    }],
    "products": [
        {"id": "sheet", "form": "sheet", "width": 47.875, "thickness": 0.5,
         "stock": [{"length": 95.875}]},
        {"id": "nail", "form": "fastener", "shank": "ring", "lengths": [1.5, 2, 2.5]},
    ],
}  # fmt: skip

WRAP: Request = {
    "unit": "in",
    "surfaces": [{
        "id": "wall", "type": "wall", "rectangle": [240, 144],
        "supports": {"direction": 90, "spacing": 16},
        "layers": [{"kind": "wrap", "product": "roll", "tape": "tape"}],
    }],
    "products": [
        {"id": "roll", "form": "roll", "width": 54, "stock": [{"length": "100 ft"}]},
        {"id": "tape", "form": "tape", "width": 2.5, "length": "165 ft"},
    ],
}  # fmt: skip


BEAMS: Request = {
    "unit": "in",
    "surfaces": [{
        "id": "den", "view": "facing", "rectangle": [180, 120],
        "supports": {"direction": 90, "spacing": 16},
        "layers": [{"kind": "box_beams", "product": "skin", "width": 7.5, "drop": 6,
                    "sets": [{"direction": 0, "count": 1}, {"direction": 90, "count": 1}]}],
    }],
    "products": [{"id": "skin", "form": "board", "profile": "square_edge", "overall": 9.25,
                  "thickness": 0.75, "stock": [{"length": "8 ft"}, {"length": "16 ft"}]}],
}  # fmt: skip

SHEET_SKINS: Request = BEAMS | {
    "products": [{"id": "skin", "form": "sheet", "width": 48, "thickness": 0.75,
                  "stock": [{"length": "8 ft"}]}],
}  # fmt: skip

SOFFIT: Request = {
    "unit": "in",
    "surfaces": [{
        "id": "eave", "type": "soffit", "view": "facing", "rectangle": [120, 24],
        "supports": {"direction": 90, "first": 8, "spacing": 16},
        "layers": [{"kind": "trim", "product": "vent", "edges": [0], "from_edge": 5}],
    }],
    "products": [{"id": "vent", "form": "moulding", "width": 2.625, "thickness": 0.125,
                  "flange": 0.375, "meets": "butted", "stock": [{"length": "8 ft"}]}],
}  # fmt: skip

STRAPS: Request = {
    "unit": "in",
    "surfaces": [{
        "id": "wall", "type": "wall", "rectangle": [200, 90],
        "supports": {"direction": 90, "first": 8, "spacing": 16},
        "layers": [{"id": "straps", "kind": "strapping", "product": "lath"},
                   {"id": "boards", "kind": "boarding", "product": "pine", "direction": 90,
                    "fastening": {"product": "nail"}}],
    }],
    "products": [
        {"id": "lath", "form": "lumber", "width": 2.5, "thickness": 0.75,
         "stock": [{"length": "8 ft"}, {"length": "12 ft"}]},
        board("8 ft"), NAIL | {"shank": "ring"},
    ],
}  # fmt: skip


def but(request: Request, *edits: Edit) -> Request:
    """A request with values put at pointers."""
    for pointer, value in edits:
        request = changed(request, pointer, value)
    return request


def boards(width: float = 60, length: float = 180, /, **layer: Any) -> Request:
    """A room of boards, with these keys of their layer."""
    return job(room(length, width, layer=layer))


AILING: dict[str, Request] = {
    "beam-joints-blocked": but(
        BEAMS, ("/surfaces/0/rectangle", [480, 120]), (f"{LAYER}/rules", {"part_stagger": 240}),
        (f"{LAYER}/sets", [{"direction": 0, "count": 1}]),
        ("/products/0/stock", [{"length": "16 ft"}]),
    ),
    "beam-too-small": but(BEAMS, (f"{LAYER}/width", 1.75)),
    "beams-not-square": but(BEAMS, (f"{LAYER}/sets/1/direction", 45)),
    "blind-too-wide": job(
        room(180, 60, layer={"fastening": {"pattern": "blind"}}),
        board("16 ft", cover=6.875, overall=7.125),
    ),
    "core-too-wide": but(BEAMS, (f"{LAYER}/core_width", 8)),
    "edges-unsupported": PANELS,
    "beads-broken": but(PANELS, ("/products/0/beads", {"pitch": 1.5})),
    "end-matched-on-framing": job(
        room(180, 60, layer={"joints": "framing"}), board("8 ft", "16 ft", ends="end_matched")
    ),
    "ends-hang": job(room(190, 60, behind=supports(first=10)), rules={"backing": "none"}),
    "equal-needs-lapped": boards(start="equal"),
    "fastener-corrodes": but(
        STRAPS, ("/surfaces/0/framing", "treated"), ("/products/2/metal", "electroplated"),
    ),
    "fastener-short": job(
        room(180, 60, layer={"fastening": {"pattern": "face", "product": "nail"}}),
        board("16 ft"), NAIL,
    ),
    "feature-missed": boards(start="full_first", aim=[{"at": 20, "on": "joint"}]),
    "floating-needs-end-matched": boards(joints="floating"),
    "hole-on-joint": job(room(
        192, 144, openings=[{"id": "lamp", "circle": [96, 31, 3], "cut_gap": 0}]
    )),
    "wrap-needs-panelling": but(PANELS, (f"{LAYER}/wrap_corner", "loft")),
    "joints-not-level": PANELS | {"surfaces": [{
        "id": "loft", "view": "facing", "supports": {"direction": 90, "spacing": 4},
        "outline": [[0, 0], [165, 0], [165, 48], [200, 48], [200, 96], [35, 96], [35, 48], [0, 48]],
        "layers": [{"id": "panels", "kind": "sheathing", "product": "sheet",
                    "end_joints": "level", "rules": {"panel_min_piece": 80}}],
    }]},
    "joints-blocked": job(room(280, 60, rules={"stagger": 200}), board("12 ft")),
    "lap-nailed-through": job(
        surface({"rectangle": [180, 60]}, type="wall",
                layer={"fastening": {"pattern": "face"}}), LAPPED,
    ),
    "lap-short": but(WRAP, (f"{LAYER}/rules", {"wrap_lap": 1})),
    "laps-against-water": but(WRAP, (f"{LAYER}/start_side", "high")),
    "leg-frail": job(room(
        192, 96, openings=[{"id": "slot", "rectangle": [60, 46.75, 14, 3.75], "cut_gap": 0}]
    )),
    "mitred-unequal": but(BEAMS, (f"{LAYER}/crossings", "mitred"), (f"{LAYER}/sets/0/drop", 7)),
    "no-bay": but(BEAMS, (f"{LAYER}/sets/0/count", 20)),
    "no-beam": but(BEAMS, (f"{LAYER}/sets", [{"direction": 0, "count": 0}])),
    "nothing-left": job(room(180, 60, edges=[{"edge": 0, "gap": 60}])),
    "no-bearing": job(room(180, 60, behind=ALONG)),
    "no-lap": boards(fastening={"pattern": "lap"}),
    "no-member-behind": job(room(60, 40, behind={"direction": 90, "at": [500]})),
    "no-member-crossed": job(
        room(180, 60, behind=ALONG, backing={"thickness": 0.75}, layer={"joints": "framing"})
    ),
    "no-panel-behind": job(
        room(180, 60, layer={"fastening": {"product": "nail"}, "rules": {"bite_in": "panel"}}),
        board("16 ft"), NAIL | {"lengths": [3]},
    ),
    "no-sheathing": boards(joints="sheathing"),
    "no-tongue": job(
        room(180, 60, layer={"fastening": {"pattern": "blind"}}),
        board("16 ft", cover=5.5, overall=5.5, profile="square_edge"),
    ),
    "not-as-you-go": job(
        room(180, 60), board("8 ft", "16 ft", ends="end_matched"), method="as_you_go"
    ),
    "nothing-to-hold": job(
        room(180, 60, behind=ALONG, backing={"thickness": 0.5},
             layer={"fastening": {"product": "nail"}, "rules": {"bite_in": "wood"}}),
        board("16 ft"), NAIL | {"shank": "ring"},
    ),
    "price-missing": job(room(180, 60), objective="least_cost"),
    "rests-need-prices": job(room(180, 60), rules={"offcut_value": 50}),
    "rip-small": boards(5.125 * 8 + 3, start="full_first"),
    "rip-too-small": boards(5.125 * 8 + 1.5, start="full_first"),
    "roll-too-narrow": but(WRAP, ("/products/0/width", 5)),
    "roll-too-short": but(WRAP, ("/products/0/stock/0/length", 11)),
    "seam-near-corner": but(
        PANELS, ("/surfaces/0/rectangle", [240, 130]),
        ("/surfaces/0/openings", [{"id": "hatch", "rectangle": [100, 50, 20, 20]}]),
    ),
    "seam-on-no-member": but(
        PANELS, (f"{LAYER}/direction", 90),
        ("/surfaces/0/supports", {"direction": 90, "at": [52, 68, *range(60, 240, 16)]}),
    ),
    "sheets-blocked": but(PANELS, (f"{LAYER}/rules", {"panel_end_bearing": 0.75})),
    "sheets-trimmed": but(
        PANELS, ("/products/0/width", 48), ("/products/0/stock/0/length", 96),
        (f"{LAYER}/rules", {"panel_wall_gap": 0.0625}),
    ),
    "spacer-in-lap": job(
        surface({"rectangle": [180, 60]}, type="wall", layer={"spacer": 0.125}), LAPPED
    ),
    "spacer-too-wide": boards(spacer=0.5),
    "stock-rules-differ": but(TWO_ROOMS, (f"{LAYER}/rules", {"kerf": 0.25})),
    "stock-short": job(room(180, 60), board({"length": "16 ft", "on_hand": 3})),
    "too-many-widths": but(WRAP, ("/products/0/width", 6.01)),
    "width-for-turn-down": but(
        WRAP, ("/surfaces/0/rectangle", [240, 108]), ("/products/0/width", 108),
        (f"{LAYER}/rules", {"turn_down": 2}),
    ),
    "strap-narrow": but(STRAPS, ("/products/0/width", 1.25)),
    "straps-too-near": but(STRAPS, (f"{LAYER}/rules", {"strap_spacing": 4})),
    "flange-wide": but(SOFFIT, ("/products/0/flange", 1.5)),
    "strip-beyond-surface": but(SOFFIT, (f"{LAYER}/from_edge", 23)),
    "breaker-no-room": but(
        SOFFIT,
        (f"{LAYER}/from_edge", None), (f"{LAYER}/edges", None), (f"{LAYER}/free_area", None),
        (f"{LAYER}/across", {"direction": 90, "at": [119.5]}),
    ),
    "trim-needs-square-edges": but(
        job(room(180, 60)), ("/surfaces/0/layers/0", {"kind": "trim", "product": "pine"})
    ),
    "straps-along-members": but(STRAPS, (f"{LAYER}/direction", 90)),
    "widths-not-level": but(WRAP, (f"{LAYER}/direction", 15)),
    "part-wider-than-board": but(BEAMS, (f"{LAYER}/drop", 10)),
    "reveal-needs-sides": but(BEAMS, (f"{LAYER}/reveal", 0.25), (f"{LAYER}/corners", "mitred")),
    "reveal-too-deep": but(BEAMS, (f"{LAYER}/reveal", 5.5)),
    "shallower-through": but(BEAMS, (f"{LAYER}/sets/0/drop", 7), (f"{LAYER}/sets/1/through", True)),
    "skins-need-square-edges": but(BEAMS, ("/products/0/profile", "tongue_and_groove"),
                                   ("/products/0/coverage", 9)),
    "laid-over-beams": but(BEAMS, ("/products", [*BEAMS["products"], board("8 ft", "16 ft")]),
                           ("/surfaces/0/layers", [
                               BEAMS["surfaces"][0]["layers"][0] | {"mode": "boards_over"},
                               {"kind": "boarding", "product": "pine", "direction": 0}])),
    "tuck-too-deep": but(BEAMS, (f"{LAYER}/rules", {"tuck": 4})),
}  # fmt: skip
"""A code that can have a cure -> a request that is told it."""

FURTHER: dict[str, Request] = {
    "beams on centres beyond the room": but(BEAMS, (f"{LAYER}/sets/0", {
        "direction": 0, "centres": [60, 119]})),
    "bays wider than the room": but(BEAMS, (f"{LAYER}/sets/0", {"direction": 0, "clear": [130]})),
    "a beam over a light, and one that crosses a hatch": but(BEAMS, ("/surfaces/0/openings", [
        {"id": "light", "circle": [90, 60, 4]}, {"id": "hatch", "rectangle": [20, 50, 24, 30]}])),
    "skins of a beaded sheet": but(SHEET_SKINS, ("/products/0/beads", {"pitch": 2})),
    "skins of a sheet that laps and is too narrow": but(
        SHEET_SKINS, ("/products/0/lap", 0.5), ("/products/0/width", 5)
    ),
    "skins that no sheet reaches to joint": but(
        SHEET_SKINS, ("/surfaces/0/rectangle", [180, 120]), ("/products/0/stock/0/length", 40)
    ),
    "raw ends with little to spare": job(room(96.5, 30), board("8 ft", "10 ft")),
    "more joints than a run should have": job(room(330, 30, behind=supports(12)), board("8 ft")),
    "a narrow rip, in feet": but(
        boards("41 1/2 in", "15 ft", start="full_first") | {"unit": "ft"},
        ("/surfaces/0/supports", {"direction": 90, "spacing": "16 in"}),
        ("/products/0", board("16 ft", cover="5-1/8 in", overall="5-3/8 in", thickness="3/4 in")),
    ),
    "a narrow rip, and no boards": job(
        room(180, 5.125 * 8 + 1.9375, layer={"start": "full_first"}),
        board({"length": "16 ft", "on_hand": 4}),
    ),
    "rules set to nothing": but(TWO_ROOMS, ("/surfaces/0/rules", None), (f"{LAYER}/rules", None),
                                (f"{LAYER}/start", "full_first")),
    "a rule of stock that several rooms share": job(
        [room(100, 60) | {"id": name} for name in ("one", "two", "three")],
        rules={"offcut_value": 50},
    ),
    "boards in multiples": job(
        room(300, 60), board({"length": "16 ft", "on_hand": 6, "multiple": 5})
    ),
    "a vent from end to end": job(surface(
        {"rectangle": [360, 20]}, type="soffit",
        openings=[{"id": "vent", "rectangle": [0, 9, 360, 2]}],
    )),
    "boards along a soffit": job(surface({"rectangle": [240, 24]}, type="soffit")),
    "lapped siding with a narrow rest": job(
        surface({"rectangle": [180, 100]}, type="wall",
                openings=[{"id": "door", "rectangle": [60, 0, 36, 81]}]), LAPPED,
    ),
    "lapped siding with a strip over a door": job(
        surface({"rectangle": [180, 102]}, type="wall",
                layer={"edges": "bare", "rules": {"gap": 0}},
                openings=[{"id": "door", "rectangle": [60, 0, 36, 77.5], "cut_gap": 0}]), LAPPED,
    ),
    "sheets a hair too long": but(
        PANELS, ("/unit", "mm"), ("/surfaces/0/rectangle", [6000, 4000]),
        ("/surfaces/0/supports",
         {"direction": 90, "first": 400, "spacing": 400, "thickness": 45}),
        (f"{LAYER}/fastening", None),
        ("/products", [{"id": "sheet", "form": "sheet", "width": 1197, "thickness": 12,
                        "stock": [{"length": 2397}]}]),
    ),
    "a fan, with lumber and nothing to nail it with": job(
        room(180, 60, openings=[{"id": "fan", "circle": [88, 30, 4], "fixture": "heavy"}]),
        board("16 ft"),
        {"id": "stud", "form": "lumber", "width": 3.5, "thickness": 1.5,
         "stock": [{"length": "8 ft"}]},
        nailers="stud",
    ),
    "nothing behind it": but(TWO_ROOMS, ("/surfaces/0/supports", None)),
    "hardly a roll": but(WRAP, ("/products/0/width", 1)),
    "no rolls": but(WRAP, ("/products/0/stock/0/on_hand", 0)),
    "turned, no stick reaches": job(
        room(300, 60, behind=supports(60, direction=0)), board("4 ft")
    ),
}  # fmt: skip
"""Further requests that are told something, by what is odd about them."""

_EDITS: tuple[Edit, ...] = (
    (f"{LAYER}/start", "full_first"), (f"{LAYER}/start", "balanced_narrow"),
    (f"{LAYER}/start", "equal"), (f"{LAYER}/start_side", "high"), (f"{LAYER}/spacer", 0.5),
    (f"{LAYER}/joints", "none"), (f"{LAYER}/joints", "framing"), (f"{LAYER}/joints", "floating"),
    (f"{LAYER}/joints", "sheathing"), (f"{LAYER}/fastening", {"pattern": "blind"}),
    (f"{LAYER}/fastening", {"pattern": "lap"}), (f"{LAYER}/direction", 90),
    (f"{LAYER}/rules", {"stagger": 96}), (f"{LAYER}/rules", {"min_piece": 60}),
    (f"{LAYER}/rules", {"min_rip": 2.5}), (f"{LAYER}/rules", {"kerf": 0.25}),
    (f"{LAYER}/rules", {"joint_from_hole": 60}), (f"{LAYER}/rules", None),
    (f"{LAYER}/rules", {"backing": "none"}),
    ("/surfaces/0/supports/direction", 0), ("/surfaces/0/type", "soffit"),
    ("/surfaces/0/type", "wall"), ("/rules", {"offcut_value": 50}), ("/rules", {"gap": 1}),
    ("/method", "as_you_go"), ("/objective", "least_cost"), ("/when_blocked", "refuse"),
    ("/products/0/stock/0/on_hand", 5), ("/products/0/stock/0/multiple", 4),
    ("/products/0/stock", [{"length": "8 ft", "on_hand": 7, "multiple": 3}]),
    ("/products/0/stock", [{"length": "4 ft"}]),
)  # fmt: skip


@st.composite
def ailing(draw: st.DrawFn) -> Request:
    """A job of boards, or of several layers, with one to three edits that may spoil it."""
    request = draw(st.one_of(jobs.jobs(), build_ups.build_ups()))
    edits = draw(st.lists(st.sampled_from(_EDITS), min_size=1, max_size=3))
    return but(request, *edits)
