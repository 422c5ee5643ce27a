# Made from openapi.json by `make clients`: not to be edited.

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypeAlias, TypedDict


class ReadingsAsked(TypedDict):
    """
    What a meter read of several boards or members at one visit.
    """

    hours: NotRequired[int | None]
    values: list[float]
    temperature: NotRequired[float | str | None]
    calibrated_at: NotRequired[float | str | None]


class JobFraming(TypedDict):
    """
    How moist the wood behind boards is.
    """

    mc: NotRequired[float | None]
    readings: NotRequired[list[ReadingsAsked] | None]
    surfaces: NotRequired[list[str] | None]


class Slope(TypedDict):
    """
    A pitch. Every dimension of the surface and of its openings is then a level (plan) one.

    So are the directions of `up` and of the supports, and a circle is round in plan. A layer's
    `direction` is measured on the surface laid flat, the plan stretched along `up`; so are gaps,
    clearances, laps and spacings of fasteners.
    """

    rise: float
    run: float
    up: float


class Reading(TypedDict):
    """
    How far one member lies from the string lines, at one mark along it.
    """

    member: int
    at: float | str
    dip: float | str


class Coat(TypedDict):
    """
    Coats of primer, stain or paint on the pieces of a layer.
    """

    product: str
    on: NotRequired[Literal['face', 'all_sides'] | None]
    coats: NotRequired[int | None]
    raw: NotRequired[bool | None]
    profile: NotRequired[float | None]
    end_grain: NotRequired[int | None]
    deduct_over: NotRequired[float | None]


class Bead(TypedDict):
    """
    Beads of sealant or glue along something that the layer has.
    """

    product: str
    along: Literal['edges', 'openings', 'pieces', 'joints', 'members']
    beads: NotRequired[int | None]
    width: float | str
    depth: float | str
    fillet: NotRequired[bool | None]


class Filler(TypedDict):
    """
    What fills the holes over fasteners that are driven through the face.
    """

    product: str
    width: float | str
    depth: float | str


class Aim(TypedDict):
    """
    A feature that a joint between courses, or a board's centre, should meet.
    """

    at: float | str
    on: Literal['joint', 'centre']


class BoardFastening(TypedDict):
    """
    How the boards are fastened.
    """

    pattern: NotRequired[Literal['blind', 'blind_face', 'face', 'lap', 'clip', 'deck_face', 'glue_pin'] | None]
    product: NotRequired[str | None]
    clip: NotRequired[str | None]
    clip_ends: NotRequired[bool | None]


class BeamFastening(TypedDict):
    """
    How the parts are fastened.
    """

    product: NotRequired[str | None]
    core: NotRequired[str | None]


class BoxBeamRules(TypedDict):
    """
    Trade rules that concern box beams. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    block_marks: NotRequired[float | str | None]
    backing: NotRequired[Literal['count', 'none'] | None]
    merge_blocks: NotRequired[float | str | None]
    end_nails: NotRequired[int | None]
    nailer_spacing: NotRequired[float | str | None]
    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    bite_ring: NotRequired[float | str | None]
    bite_smooth: NotRequired[float | str | None]
    bite_in: NotRequired[Literal['wood', 'framing', 'panel'] | None]
    bite_framing: NotRequired[float | str | None]
    min_touch: NotRequired[float | str | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    min_strip: NotRequired[float | str | None]
    joint_trim: NotRequired[float | str | None]
    wall_trim: NotRequired[float | str | None]
    joint_cost: NotRequired[float | str | None]
    offcut_value: NotRequired[float | None]
    tuck: NotRequired[float | str | None]
    core_play: NotRequired[float | str | None]
    spring: NotRequired[float | str | None]
    spring_from: NotRequired[float | str | None]
    part_step: NotRequired[float | str | None]
    min_piece: NotRequired[float | str | None]
    part_stagger: NotRequired[float | str | None]
    part_spacing: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]
    core_fasteners: NotRequired[int | None]
    ladder_spacing: NotRequired[float | str | None]
    edge_trim: NotRequired[float | str | None]


class SheetStrips(TypedDict):
    """
    Strips on the face of sheets that show: battens over seams, strips along end joints.
    """

    seams: NotRequired[str | None]
    ends: NotRequired[str | None]
    fastener: NotRequired[str | None]


class SheetFastening(TypedDict):
    """
    How the sheets are fastened.
    """

    product: NotRequired[str | None]
    edge: NotRequired[float | str | None]
    field: NotRequired[float | str | None]
    clip: NotRequired[str | None]


class SheathingRules(TypedDict):
    """
    Trade rules that concern sheets. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    backing: NotRequired[Literal['count', 'none'] | None]
    merge_blocks: NotRequired[float | str | None]
    end_nails: NotRequired[int | None]
    nailer_spacing: NotRequired[float | str | None]
    edge_nailer: NotRequired[float | str | None]
    opening_nailer: NotRequired[float | str | None]
    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    bite_ring: NotRequired[float | str | None]
    bite_smooth: NotRequired[float | str | None]
    bite_in: NotRequired[Literal['wood', 'framing', 'panel'] | None]
    bite_framing: NotRequired[float | str | None]
    min_touch: NotRequired[float | str | None]
    tape_loss: NotRequired[float | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    min_strip: NotRequired[float | str | None]
    panel_gap: NotRequired[float | str | None]
    panel_wall_gap: NotRequired[float | str | None]
    panel_end_bearing: NotRequired[float | str | None]
    panel_min_piece: NotRequired[float | str | None]
    panel_min_bearings: NotRequired[int | None]
    panel_stagger: NotRequired[float | str | None]
    joint_from_corner: NotRequired[float | str | None]
    min_run: NotRequired[float | str | None]
    edge_distance: NotRequired[float | str | None]
    trim_spacing: NotRequired[float | str | None]
    trim_bite: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]


class StrapFastening(TypedDict):
    """
    How the straps are fastened.
    """

    product: NotRequired[str | None]


class StrappingRules(TypedDict):
    """
    Trade rules that concern straps. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there.
    """

    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    bite_ring: NotRequired[float | str | None]
    bite_smooth: NotRequired[float | str | None]
    bite_in: NotRequired[Literal['wood', 'framing', 'panel'] | None]
    bite_framing: NotRequired[float | str | None]
    min_touch: NotRequired[float | str | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    strap_spacing: NotRequired[float | str | None]
    strap_edge: NotRequired[float | str | None]
    strap_fasteners: NotRequired[int | None]


class TrimFastening(TypedDict):
    """
    How trim is fastened.
    """

    product: NotRequired[str | None]
    rows: NotRequired[int | None]


class TrimRules(TypedDict):
    """
    Trade rules that concern trim. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    joint_trim: NotRequired[float | str | None]
    wall_trim: NotRequired[float | str | None]
    joint_cost: NotRequired[float | str | None]
    offcut_value: NotRequired[float | None]
    start_trim: NotRequired[float | str | None]
    scarf_angle: NotRequired[float | None]
    overhang: NotRequired[float | str | None]
    min_piece: NotRequired[float | str | None]
    corner_over: NotRequired[float | None]
    reveal: NotRequired[float | str | None]
    trim_spacing: NotRequired[float | str | None]
    trim_bite: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]


class CapFastening(TypedDict):
    """
    How the wrap is fastened.
    """

    product: NotRequired[str | None]


class WrapRules(TypedDict):
    """
    Trade rules that concern wrap. The nearest wins: layer, then surface, then job.

    Keys that other kinds have too mean the same there. The number of each rule stands in the
    kind's table of defaults, and with each value used in the answer's `basis`.
    """

    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    tape_loss: NotRequired[float | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    wrap_end_lap: NotRequired[float | str | None]
    end_lap_offset: NotRequired[float | str | None]
    reuse_from: NotRequired[float | str | None]
    wrap_lap: NotRequired[float | str | None]
    turn_down: NotRequired[float | str | None]
    deduct_over: NotRequired[float | None]
    cap_spacing: NotRequired[float | str | None]
    cap_seam: NotRequired[float | str | None]
    cap_edge: NotRequired[float | str | None]
    cap_rows: NotRequired[float | str | None]
    cap_bite: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]


class Rules(TypedDict):
    """
    Trade rules that can be set.
    """

    block_marks: NotRequired[float | str | None]
    backing: NotRequired[Literal['count', 'none'] | None]
    merge_blocks: NotRequired[float | str | None]
    end_nails: NotRequired[int | None]
    nailer_spacing: NotRequired[float | str | None]
    edge_nailer: NotRequired[float | str | None]
    opening_nailer: NotRequired[float | str | None]
    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    bite_ring: NotRequired[float | str | None]
    bite_smooth: NotRequired[float | str | None]
    bite_in: NotRequired[Literal['wood', 'framing', 'panel'] | None]
    bite_framing: NotRequired[float | str | None]
    min_touch: NotRequired[float | str | None]
    tape_loss: NotRequired[float | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    wrap_end_lap: NotRequired[float | str | None]
    end_lap_offset: NotRequired[float | str | None]
    reuse_from: NotRequired[float | str | None]
    wrap_lap: NotRequired[float | str | None]
    turn_down: NotRequired[float | str | None]
    deduct_over: NotRequired[float | None]
    cap_spacing: NotRequired[float | str | None]
    cap_seam: NotRequired[float | str | None]
    cap_edge: NotRequired[float | str | None]
    cap_rows: NotRequired[float | str | None]
    cap_bite: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    min_strip: NotRequired[float | str | None]
    joint_trim: NotRequired[float | str | None]
    wall_trim: NotRequired[float | str | None]
    joint_cost: NotRequired[float | str | None]
    offcut_value: NotRequired[float | None]
    start_trim: NotRequired[float | str | None]
    scarf_angle: NotRequired[float | None]
    overhang: NotRequired[float | str | None]
    min_piece: NotRequired[float | str | None]
    corner_over: NotRequired[float | None]
    reveal: NotRequired[float | str | None]
    trim_spacing: NotRequired[float | str | None]
    trim_bite: NotRequired[float | str | None]
    strap_spacing: NotRequired[float | str | None]
    strap_edge: NotRequired[float | str | None]
    strap_fasteners: NotRequired[int | None]
    panel_gap: NotRequired[float | str | None]
    panel_wall_gap: NotRequired[float | str | None]
    panel_end_bearing: NotRequired[float | str | None]
    panel_min_piece: NotRequired[float | str | None]
    panel_min_bearings: NotRequired[int | None]
    panel_stagger: NotRequired[float | str | None]
    joint_from_corner: NotRequired[float | str | None]
    min_run: NotRequired[float | str | None]
    edge_distance: NotRequired[float | str | None]
    tuck: NotRequired[float | str | None]
    core_play: NotRequired[float | str | None]
    spring: NotRequired[float | str | None]
    spring_from: NotRequired[float | str | None]
    part_step: NotRequired[float | str | None]
    part_stagger: NotRequired[float | str | None]
    part_spacing: NotRequired[float | str | None]
    core_fasteners: NotRequired[int | None]
    ladder_spacing: NotRequired[float | str | None]
    edge_trim: NotRequired[float | str | None]
    gap: NotRequired[float | str | None]
    cut_wild: NotRequired[float | str | None]
    least_exposure: NotRequired[float | str | None]
    min_rip: NotRequired[float | str | None]
    preferred_rip: NotRequired[float | str | None]
    unsawn: NotRequired[float | str | None]
    taper_over: NotRequired[float | str | None]
    feature_tolerance: NotRequired[float | str | None]
    spacer_max: NotRequired[float | str | None]
    min_bearings: NotRequired[int | None]
    most_joints: NotRequired[int | None]
    end_bearing: NotRequired[float | str | None]
    stagger: NotRequired[float | str | None]
    repeat: NotRequired[float | str | None]
    joint_from_hole: NotRequired[float | str | None]
    joint_beside_hole: NotRequired[float | str | None]
    joint_from_panel_joint: NotRequired[float | str | None]
    min_leg: NotRequired[float | str | None]
    merge_holes: NotRequired[float | str | None]
    long_hole: NotRequired[float | str | None]
    hanging_end: NotRequired[float | str | None]
    panel_spacing: NotRequired[float | str | None]
    block_spacing: NotRequired[float | str | None]
    blind_up_to: NotRequired[float | str | None]
    blind_angle: NotRequired[float | None]
    per_crossing: NotRequired[int | None]


class PrintedSlope(TypedDict):
    """
    The least pitch at which it is laid.
    """

    where: str
    what: Literal['slope']
    rise: float
    run: float


class PrintedAcclimation(TypedDict):
    """
    How it is brought to its moisture before it goes up.
    """

    where: str
    what: Literal['acclimation']
    hours: NotRequired[int | None]
    mc_least: NotRequired[float | None]
    mc_most: NotRequired[float | None]


class PrintedBarrier(TypedDict):
    """
    That a barrier against water stands behind it.
    """

    where: str
    what: Literal['barrier_behind']


class PrintedWork(TypedDict):
    """
    What is done to it on the site: `cut_ends` are sealed, `priming` before it goes up.
    """

    where: str
    what: Literal['cut_ends', 'priming']


class Nominal(TypedDict):
    """
    Nominal size in inches, for board feet.
    """

    thickness: float
    width: float


class ClipPack(TypedDict):
    """
    One size in which clips are sold.
    """

    of: NotRequired[Literal['box', 'pack', 'carton', 'tub', 'pail'] | None]
    count: int
    price: NotRequired[float | str | None]


class Can(TypedDict):
    """
    One size in which a liquid is sold.
    """

    holds: str
    price: NotRequired[float | str | None]


class OwnedCan(TypedDict):
    """
    Cans or tubes that the caller has already, full or opened.
    """

    holds: str
    left: NotRequired[str | None]
    count: NotRequired[int | None]


class FastenerPack(TypedDict):
    """
    One size in which fasteners are sold: so many of them, or so many pounds.
    """

    of: NotRequired[Literal['box', 'pack', 'coil', 'strip', 'carton', 'tub', 'pail'] | None]
    count: NotRequired[int | None]
    pounds: NotRequired[float | None]
    price: NotRequired[float | str | None]


class Beads(TypedDict):
    """
    Beads or grooves along the length of a sheet that shows, the first at its edge.
    """

    pitch: float | str


class Version(TypedDict):
    """
    Which service and which rules made the answer.
    """

    service: str
    rules: str
    digest: str


class Units(TypedDict):
    """
    What the numbers of the answer are in.
    """

    length: Literal['in', 'ft', 'mm', 'cm', 'm']
    area: Literal['ft2', 'm2']
    weight: Literal['lb', 'kg']
    volume: Literal['gal', 'l']
    money: str | None


class Summary(TypedDict):
    """
    The finished layers (the outermost of each surface) in one line per question.
    """

    drawn: float
    installed: float
    placed: float
    bought: float
    sticks: int
    sheets: int
    waste_pct: float | None
    extra_pct: float | None
    extra_over_drawn_pct: float | None
    optimal: bool
    in_words: str


BesideRow = TypedDict(
    'BesideRow',
    {
        'from': list[float],
        'to': list[float],
        'beside': str,
    },
)


class LayerRow(TypedDict):
    """
    One layer of a surface: which way it runs, and what it covers.
    """

    surface: str
    layer: str
    kind: Literal['boarding', 'box_beams', 'sheathing', 'strapping', 'trim', 'wrap']
    product: str
    direction: float
    origin: list[float]
    along: list[float]
    across: list[float]
    crosses: list[int]
    installed: float
    courses: int
    pieces: int
    crossings: int


RegionRow = TypedDict(
    'RegionRow',
    {
        'surface': str,
        'layer': str,
        'region': int,
        'area': float,
        'from': list[float],
        'to': list[float],
    },
)


class MemberRow(TypedDict):
    """
    One member that stands behind a part of a surface.
    """

    surface: str
    member: int
    line: list[list[float]]
    thickness: float


class OpeningRow(TypedDict):
    """
    One opening of a surface, and what is cut for it in one layer.
    """

    surface: str
    layer: str
    opening: str
    drawn: list[list[list[float]]]
    cut: list[list[list[float]]]
    merged_with: list[str]
    courses: list[int]


class ProductRow(TypedDict):
    """
    One product that layers are made of: how much is laid and how much is bought.
    """

    product: str
    kind: Literal['boarding', 'box_beams', 'sheathing', 'strapping', 'trim', 'wrap', 'backing']
    form: Literal['board', 'clip', 'coating', 'fastener', 'lumber', 'moulding', 'piece_goods', 'roll', 'sealant', 'sheet', 'tape']
    drawn: float
    installed: float
    area_bought: float | None
    pieces: int
    placed: float | None
    bought: float | None
    units: int
    waste_pct: float | None
    extra_pct: float | None
    extra_over_drawn_pct: float | None


class AlternativeRow(TypedDict):
    """
    One way of laying the courses, ranked.
    """

    surface: str
    layer: str
    bay: int | None
    rank: int
    start: str
    courses: int
    first: float
    last: float
    chosen: bool
    why: str


class CourseRow(TypedDict):
    """
    One course, row of sheets or width of a roll: where its edges lie, and how it is cut.
    """

    surface: str
    layer: str
    course: int
    bay: int | None
    near: float
    far: float
    width: float
    end_widths: list[float]
    from_wall: list[float]
    rip: Literal['groove', 'tongue', 'near', 'far', 'both', 'none']
    tongue: Literal['near', 'far', 'none']
    lap: float
    note: str


BeamRow = TypedDict(
    'BeamRow',
    {
        'surface': str,
        'layer': str,
        'beam': int,
        'lies': Literal['through', 'butting', 'mitred'],
        'wall': Literal['low', 'high', 'none'],
        'direction': float,
        'from': list[float],
        'to': list[float],
        'width': float,
        'drop': float,
        'core': float,
        'segments': int,
        'length': float,
        'hits': int,
        'blocks': int,
        'hidden': float,
    },
)


BayRow = TypedDict(
    'BayRow',
    {
        'surface': str,
        'layer': str,
        'bay': int,
        'from': list[float],
        'to': list[float],
        'along': float,
        'across': float,
        'area': float,
        'perimeter': float,
        'corners': int,
    },
)


class BeamPartRow(TypedDict):
    """
    One part of one segment of a beam: a side, the bottom, or the core.
    """

    surface: str
    layer: str
    beam: int
    segment: int
    part: Literal['near side', 'bottom', 'far side', 'core']
    product: str | None
    length: float
    width: float
    bevels: Literal['none', 'one edge', 'both edges']
    ends: list[str]
    joints: list[float]
    pieces: list[str]
    count: int


RunRow = TypedDict(
    'RunRow',
    {
        'id': str,
        'surface': str,
        'layer': str,
        'region': int,
        'course': int,
        'near': float,
        'far': float,
        'from': float,
        'to': float,
        'length': float,
        'bearings': int,
        'pieces': int,
        'gap': float,
    },
)


CutoutRow = TypedDict(
    'CutoutRow',
    {
        'effect': Literal['notch', 'hole'],
        'openings': list[str],
        'near': float,
        'far': float,
        'from': float,
        'to': float,
    },
)


class SawRow(TypedDict):
    """
    One thing that is done to a piece once it is cut to length.

    The piece lies face up with its far edge, that of the tongue, away: so left and right are its
    own, wherever it is laid. Widths and depths are of its face, without tongue or lap. The hands of
    trim are those of `trim_lengths`.
    """

    do: Literal['rip', 'angle', 'cope', 'scarf', 'bevel', 'notch', 'hole', 'shape']
    edge: Literal['groove', 'tongue', 'near', 'far', 'both', 'back', 'front', 'none']
    end: Literal['left', 'right', 'none']
    from_left: float | None
    length: float | None
    from_edge: float | None
    depth: float | None
    widths: list[float]
    angle: float | None
    to_line: bool


class JointRow(TypedDict):
    """
    One end joint between two pieces of a run.
    """

    surface: str
    layer: str
    course: int
    between: list[str]
    at: float
    on: Literal['framing', 'block', 'sheathing', 'anywhere', 'floating', 'core', 'lap']
    bearing: int | None
    offset_before: float | None
    offset_after: float | None
    offset_repeat: float | None


TrimRow = TypedDict(
    'TrimRow',
    {
        'surface': str,
        'layer': str,
        'number': int,
        'edges': list[int],
        'from_edge': float | None,
        'across_at': float | None,
        'opening': str | None,
        'from': list[float],
        'to': list[float],
        'length': float,
        'meets': list[Literal['inside corner', 'outside corner', 'segment joint', 'mitre edge', 'wall corner', 'wall', 'open end', 'itself']],
        'turns': list[float],
        'adds': list[float],
        'scarfs': list[float],
        'cut': float,
        'pieces': list[str],
    },
)


class TrimTotalRow(TypedDict):
    """
    One layer of trim: how long it is, and how many corners of which sort it has.
    """

    surface: str
    layer: str
    product: str
    length: float
    cut: float
    pieces: int
    inside_corners: int
    outside_corners: int
    segment_joints: int
    scarfs: int
    free_area: float | None
    free_area_asked: float | None


class StickRow(TypedDict):
    """
    One bought stick or roll and what is cut from it, in cutting order.
    """

    stick: str
    product: str
    length: float
    pieces: list[str]
    cuts: list[float]
    beside: list[list[str]]
    laps: list[float]
    kerfs: int
    kerf: float
    end_trim: float
    offcut: float
    kept: bool
    owned: bool
    ticks: dict[str, int]


class SheetRow(TypedDict):
    """
    One bought sheet, where its pieces lie in it, and the through-cuts that part them.
    """

    sheet: str
    product: str
    length: float
    width: float
    pieces: list[str]
    boxes: list[list[float]]
    steps: list[str]
    kept: list[list[float]]
    waste: list[list[float]]
    owned: bool
    half_square_ticks: dict[str, str]


class CutPlanRow(TypedDict):
    """
    How good the plan for one product is.
    """

    product: str
    objective: Literal['least_cost', 'least_length', 'fewest_sticks', 'fewest_joints', 'fewest_lengths']
    cost: float
    bound: float
    ordered: float | None
    offcuts: float
    joints: int
    joint_cost: float
    measured_in: Literal['money', 'length', 'sticks', 'joints', 'sheets', 'rolls']
    gap_pct: float
    optimal: bool
    work: int
    in_words: str


class RuleCostRow(TypedDict):
    """
    What one rule of joints or stock costs: the plan found with that rule alone lowered.
    """

    product: str
    rule: str
    key: str
    asked: Any
    used: Any
    cost: float
    saves: float
    measured_in: Literal['money', 'length', 'sticks', 'joints', 'sheets', 'rolls']
    saves_pct: float
    in_words: str


class ShimRow(TypedDict):
    """
    A shim, or a pair of them, that brings one place of a member into the plane of the others.
    """

    surface: str
    member: int
    along: float
    at: list[float]
    strap: int | None
    dip: float
    shim: float


BackingRow = TypedDict(
    'BackingRow',
    {
        'surface': str,
        'layer': str,
        'what': Literal['nailer', 'header', 'trimmer', 'block', 'cleat'],
        'for': str,
        'from': list[float],
        'to': list[float],
        'length': float,
        'count': int,
        'product': str | None,
        'pieces': list[str],
        'nails': int | None,
    },
)


class ChoiceRow(TypedDict):
    """
    One plan for a board beside others; none of them takes less of both than the one chosen.
    """

    product: str
    choice: Literal['least_material', 'as_chosen', 'fewest_joints']
    material: float
    joints: int
    total: float
    bound: float | None
    fewest_joints: int | None
    measured_in: Literal['money', 'length', 'sticks', 'joints', 'sheets', 'rolls']
    optimal: bool
    pieces: int
    shortest: float
    sticks: int


class WorthRow(TypedDict):
    """
    What pieces with such ends are worth by their length: a step function that never falls.
    """

    ends: int
    cells: list[int]
    worths: list[int]


class RipShareRow(TypedDict):
    """
    From what width of face on a piece is worth what share of one of a whole board.
    """

    width: int
    share: int


WindowRow = TypedDict(
    'WindowRow',
    {
        'surface': str,
        'layer': str,
        'from': int,
        'to': int,
        'price': int,
    },
)


ProvedRunRow = TypedDict(
    'ProvedRunRow',
    {
        'runs': list[str],
        'from': int,
        'to': int,
        'anywhere': bool,
        'stations': list[int],
    },
)


class FastenerRow(TypedDict):
    """
    Fasteners of one kind in one place, with what was counted.
    """

    surface: str
    layer: str
    product: str | None
    where: str
    pattern: Literal['blind', 'blind_face', 'face', 'lap', 'clip', 'deck_face', 'glue_pin', 'rows', 'caps', 'clips', 'ends', 'along']
    place: Literal['face', 'blind', 'clip', 'edge']
    spacing: float | None
    count: int
    counted: str
    length: float | None
    bite: float | None
    depth: float | None
    into_framing: float | None
    into_wood: float | None


class LiquidRow(TypedDict):
    """
    Coats on one side of a layer's pieces, beads along one thing that it has, or its holes.
    """

    surface: str
    layer: str
    product: str
    use: Literal['coat', 'bead', 'fill']
    where: str
    times: int
    area: float | None
    length: float | None
    volume: float
    counted: str


class ConsumableRow(TypedDict):
    """
    Something used by length beside the layer itself, as tape is, in one place.
    """

    surface: str
    layer: str
    product: str | None
    where: str
    length: float
    counted: str


class OrderRow(TypedDict):
    """
    One line of the order.
    """

    product: str
    form: Literal['board', 'clip', 'coating', 'fastener', 'lumber', 'moulding', 'piece_goods', 'roll', 'sealant', 'sheet', 'tape']
    item: str
    length: float | None
    width: float | None
    need: int
    cull: int
    spare: int
    loss: int
    buy: int
    packages: int
    per_package: float
    left_over: int
    price: float | None
    weight: float | None
    board_feet: float | None
    pack: str | None
    volume: float | None
    left_volume: float | None


class OwnedRow(TypedDict):
    """
    One size of the caller's own, and how much of it is used: no line of the order.
    """

    product: str
    item: str
    length: float | None
    width: float | None
    count: int
    used: int
    left_over: int
    volume: float | None


class LedgerRow(TypedDict):
    """
    Where one part of what was bought went; a product's rows add up to what was bought.
    """

    product: str
    account: Literal['installed', 'lap_or_tongue', 'rip', 'notch', 'mitre', 'crosscut', 'kerf', 'end_trim', 'fit', 'snap', 'short_offcut', 'offcut_kept', 'cull', 'spare', 'surplus', 'lost', 'owned']
    measure: Literal['area', 'length', 'volume']
    area: float | None
    length: float | None
    volume: float | None
    half_square_ticks: str | None
    amount: str


class LedgerShareRow(TypedDict):
    """
    What of an account falls to one surface: the rows of an account add up to it.
    """

    surface: str
    product: str
    account: Literal['installed', 'lap_or_tongue', 'rip', 'notch', 'mitre', 'crosscut', 'kerf', 'end_trim', 'fit', 'snap', 'short_offcut', 'offcut_kept', 'cull', 'spare', 'surplus', 'lost', 'owned']
    measure: Literal['area', 'length', 'volume']
    area: float | None
    length: float | None
    volume: float | None
    half_square_ticks: str | None
    amount: str


class OrderShareRow(TypedDict):
    """
    What of a line of the order falls to one surface: the rows of a line add up to it.
    """

    surface: str
    product: str
    item: str
    buy: int
    price: float | None


class TallyRow(TypedDict):
    """
    A board of random lengths: laid course by course from what comes, in draw after draw.

    Each draw takes boards from one fixed sequence by the shares of the tally. The 90th percentile
    is what nine draws of ten do not go over.
    """

    product: str
    by: Literal['pieces', 'length']
    draws: int
    mean_piece: float
    too_short_pct: float
    placed: float
    median: float
    percentile_90: float
    median_joints: int
    percentile_90_joints: int
    shortest: float
    estimate: float
    bundles: int | None
    work: int


class LabourRow(TypedDict):
    """
    So much of one thing to do in one layer.
    """

    surface: str
    layer: str
    item: str
    quantity: float
    unit: str
    hours_each: float | None
    factors: float
    hours: float | None


class LabourTotalRow(TypedDict):
    """
    All hours by the caller's rates, and how long a crew takes for them.
    """

    hours: float
    crew: int
    crew_hours: float
    hours_a_day: float
    days: float


class DeliveryRow(TypedDict):
    """
    What of one product comes to the site, and the room it takes there in stacks.
    """

    product: str
    form: Literal['board', 'clip', 'coating', 'fastener', 'lumber', 'moulding', 'piece_goods', 'roll', 'sealant', 'sheet', 'tape']
    pieces: int
    longest: float
    lifts: int
    width: float
    height: float
    footprint: float
    weight: float | None
    bearers: int
    clear: float
    stickers: int
    cover: float


TraceInput = TypedDict(
    'TraceInput',
    {
        'name': str,
        'value': str,
        'unit': str,
        'from': str,
    },
)


class ComparedRow(TypedDict):
    """
    What usual ways of ordering would have bought of the same product.

    Cut as you go: one stock length, course by course, each offcut starts the next course, all
    rules of joints kept; culls and spares as in this order. Null where that cannot be.
    """

    product: str
    flat_pct: float
    measured_in: Literal['length', 'sheets', 'rolls']
    would_order: float
    would_cost: float | None
    bought: float
    cost: float | None
    joints: int
    wrong_by: float
    as_you_go: float | None
    as_you_go_from: float | None
    as_you_go_cost: float | None
    as_you_go_joints: int | None
    in_words: str


class LayerMoistureRow(TypedDict):
    """
    Whether the boards of a layer may go up, what they will do, and the room that they have.
    """

    surface: str
    layer: str
    product: str
    verdict: Literal['install', 'hold', 'read_again']
    mc_boards: float
    mc_framing: float | None
    mc_low: float
    mc_high: float
    over: float
    swells: float
    shrinks: float
    swells_over_all: float
    shrinks_over_all: float
    spacer: float
    spacer_needed: float
    gap: float
    gap_needed: float
    in_words: str


class LayerCheckRow(TypedDict):
    """
    One thing that must be so before the boards of a layer go up, or for them to stay so.
    """

    surface: str
    layer: str
    check: Literal['boards_at_service', 'boards_at_rest', 'boards_and_framing', 'framing_dry', 'boards_read', 'framing_read', 'boards_meter', 'framing_meter', 'joints_close', 'joints_open', 'tongues_stay', 'gap_at_walls', 'formula_range']
    found: float | None
    limit: float | None
    measured_in: Literal['points', 'count', 'length']
    result: Literal['met', 'not_met', 'not_checkable']
    holds_up: bool
    rule: str
    in_words: str


class InspectionRow(TypedDict):
    """
    One thing to be seen before what it is about is covered: whether the job is so, or the site.

    What is `not_checkable` here is looked at on the site. Nothing of it is a permit: the authority
    having jurisdiction says what it inspects.
    """

    surface: str | None
    hold_point: str | None
    before: str | None
    product: str | None
    check: str
    result: Literal['met', 'not_met', 'not_checkable']
    source: str
    rule: str
    in_words: str


class OperationRow(TypedDict):
    """
    One operation of a patch of the request, as RFC 6902 has it.
    """

    op: Literal['add', 'replace']
    path: str
    value: Any


class RelaxedRow(TypedDict):
    """
    A rule that was not kept, by the caller's leave.
    """

    rule: str
    key: str
    asked: Any
    used: Any
    places: list[str]


class CautionRow(TypedDict):
    """
    What may go wrong on site; local code and printed instruction go before it.
    """

    about: str
    surfaces: list[str]
    text: str
    source: str


BasisRow = TypedDict(
    'BasisRow',
    {
        'at': str,
        'rule': str,
        'key': str,
        'value': Any,
        'from': str,
    },
)


class MitredEnd(TypedDict):
    """
    An end that is cut at an angle across the face (4.5).
    """

    mitre: float
    long: Literal['near', 'far']


class CutProduct(TypedDict):
    """
    What stock is called that pieces are only cut from.
    """

    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    nominal: NotRequired[Nominal | None]


class CutRules(TypedDict):
    """
    Rules of the stock and of the saw, all as in a job; lengths are cut as they are sent.
    """

    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    joint_trim: NotRequired[float | str | None]
    wall_trim: NotRequired[float | str | None]


class CutSummary(TypedDict):
    """
    The whole cut plan in one line per question.
    """

    pieces: int
    wanted: float
    sticks: int
    taken: float
    bought: float
    waste: float
    waste_pct: float
    optimal: bool
    in_words: str


Stretch = TypedDict(
    'Stretch',
    {
        'from': int,
        'to': int,
    },
)


class MadeBy(TypedDict):
    """
    The `version` of an answer, as it said it.
    """

    service: NotRequired[str | None]
    rules: NotRequired[str | None]
    digest: NotRequired[str | None]


class BeforeVersion(TypedDict):
    """
    Whether the first answer was made by the service and the rules that made this one.
    """

    same: bool
    in_words: str


class ChangeSummary(TypedDict):
    """
    The change in a few numbers and one sentence.
    """

    keep: int
    remove: int
    recut: int
    add: int
    price: float | None
    credit: float | None
    in_words: str


class ChangeTotalRow(TypedDict):
    """
    What a change does to one layer: pieces, their area and their length as cut.
    """

    surface: str
    layer: str
    product: str
    keep: int
    remove: int
    recut: int
    add: int
    kept_area: float
    removed_area: float
    added_area: float
    removed_length: float
    added_length: float


ChangedPieceRow = TypedDict(
    'ChangedPieceRow',
    {
        'do': Literal['keep', 'remove', 'recut', 'add'],
        'is_up': bool,
        'was': str | None,
        'is': str | None,
        'label': str,
        'surface': str,
        'layer': str,
        'product': str,
        'course': int,
        'near': float,
        'far': float,
        'from': float,
        'to': float,
        'length': float,
        'width': float | None,
        'ends': list[str],
        'stick': str | None,
        'was_area': float,
        'is_area': float,
    },
)


ChangedFramingRow = TypedDict(
    'ChangedFramingRow',
    {
        'do': Literal['keep', 'remove', 'recut', 'add'],
        'surface': str,
        'layer': str,
        'what': str,
        'for': str,
        'from': list[float],
        'to': list[float],
        'length': float,
        'count': int,
        'product': str | None,
    },
)


ChangeOrderRow = TypedDict(
    'ChangeOrderRow',
    {
        'product': str,
        'item': str,
        'length': float | None,
        'width': float | None,
        'was': int,
        'is': int,
        'at_hand': int,
        'used': int,
        'more': int,
        'packages': int,
        'fewer': int,
        'price': float | None,
        'credit': float | None,
    },
)


class StepRow(TypedDict):
    """
    One step of the work, in its order.
    """

    number: int
    surface: str | None
    layer: str | None
    do: Literal['use', 'buy', 'return', 'remove', 'recut', 'loosen', 'add', 'put back', 'lay']
    text: str


class Put(TypedDict):
    """
    Puts a value at a place: `add` a member or an item, `replace` or `test` what stands there.
    """

    op: Literal['add', 'replace', 'test']
    path: str
    value: Any


class Take(TypedDict):
    """
    Takes away what stands at a place.
    """

    op: Literal['remove']
    path: str


Carry = TypedDict(
    'Carry',
    {
        'op': Literal['move', 'copy'],
        'path': str,
        'from': str,
    },
)


class VariationRow(TypedDict):
    """
    The job as sent (`as_sent`) or a variation of it, the best first.
    """

    variation: str
    rank: int
    cost: float | None
    length: float
    sticks: int
    joints: int
    waste_pct: float | None
    optimal: bool
    relaxed: int
    findings: int
    why: str
    in_words: str
    digest: str


class RefusedRow(TypedDict):
    """
    One reason why a variation, or the job as sent, is refused.
    """

    variation: str
    code: Literal['air', 'beads-wide', 'beam-joints-blocked', 'beam-too-small', 'beams', 'beams-not-square', 'blind-too-wide', 'blocks-too-many', 'board-narrow', 'board-too-wide', 'bool-type', 'breaker-no-room', 'byte-order-mark', 'cannot-be-opened', 'cell', 'choice', 'clip', 'compare', 'core-too-wide', 'coverage', 'coverage-contradicts', 'coverage-is-overall', 'coverage-wrong', 'crosses-itself', 'delivered', 'drier-than-air-can-be', 'duplicate-key', 'edge', 'edge-twice', 'end-matched-on-framing', 'equal-needs-lapped', 'exponent', 'extra-forbidden', 'fastener-short', 'flange-wide', 'floating-needs-end-matched', 'forbidden-character', 'gap-passes-edge', 'greater-than', 'greater-than-equal', 'id-twice', 'impossible-triangle', 'int-type', 'jobs-differ', 'joints-blocked', 'joints-not-level', 'laid-over-beams', 'lap-wide', 'left', 'length', 'less-than-equal', 'lines-need-lapped', 'list-type', 'literal-error', 'matched', 'missing', 'mitred-unequal', 'model-attributes-type', 'model-type', 'nailers-laid', 'no-area', 'no-bay', 'no-beam', 'no-bearing', 'no-corner-before', 'no-lap', 'no-lines', 'no-member-behind', 'no-member-crossed', 'no-panel-behind', 'no-sheathing', 'no-such-edge', 'no-such-member', 'no-such-opening', 'no-such-piece', 'no-such-product', 'no-such-species', 'no-such-surface', 'no-supports', 'no-tongue', 'not-a-number', 'not-as-you-go', 'not-json', 'not-tried', 'not-utf-8', 'nothing-left', 'nothing-on-hand', 'nothing-to-hold', 'nothing-up-there', 'opening', 'opening-outside', 'over-limit', 'pack', 'parameter', 'part-wider-than-board', 'piece-too-long', 'price-missing', 'prices', 'printed', 'product-twice', 'read-beyond-member', 'read-twice', 'rests-need-prices', 'reveal-needs-sides', 'reveal-too-deep', 'rip-too-small', 'roll-too-narrow', 'roll-too-short', 'seam-on-no-member', 'shallower-through', 'sheets-blocked', 'skins-need-square-edges', 'spacer-in-lap', 'spacer-too-wide', 'spacing-odd', 'starter-needs-lapped', 'stock-rules-differ', 'stock-short', 'stock-too-short', 'strap-too-short', 'straps-along-members', 'straps-too-near', 'string-pattern-mismatch', 'string-too-long', 'string-too-short', 'string-type', 'strip-beyond-surface', 'strip-meets-opening', 'supports', 'surface', 'tally', 'tongue-leaves-groove', 'too-deep', 'too-long', 'too-many-digits', 'too-many-widths', 'too-short', 'trim', 'trim-needs-square-edges', 'tuck-too-deep', 'union-tag-invalid', 'union-tag-not-found', 'unit-slip', 'visit-before-last', 'warmer-than-air', 'wet-bulb-frozen', 'width', 'wood', 'wrap-needs-panelling', 'wrong-form', 'zone-unfilled']
    detail: str
    pointer: str
    rule: str | None
    cure: list[OperationRow] | None


class AtHandRow(TypedDict):
    """
    Whether what there is is enough, and what must be bought at least.
    """

    question: str
    enough: bool | None
    cost: float | None
    length: float | None
    length_all_bought: float | None
    proved: bool | None
    in_words: str
    patch: list[OperationRow]


class ToBuyRow(TypedDict):
    """
    One line of what must be bought beside what there is.
    """

    question: str
    product: str
    item: str
    length: float | None
    buy: int
    price: float | None


class UsedRow(TypedDict):
    """
    One length of what there is, and how much of it is used.
    """

    question: str
    product: str
    item: str
    length: float
    count: int
    used: int


class RipRow(TypedDict):
    """
    A layer whose courses are other ones with the boards as they came.
    """

    question: str
    surface: str
    layer: str
    courses_were: int
    courses: int
    first_was: float
    first: float
    last_was: float
    last: float


class WasteRow(TypedDict):
    """
    Where what is bought of a product goes beside what is installed: an account of its ledger.
    """

    product: str
    account: Literal['installed', 'lap_or_tongue', 'rip', 'notch', 'mitre', 'crosscut', 'kerf', 'end_trim', 'fit', 'snap', 'short_offcut', 'offcut_kept', 'cull', 'spare', 'surplus', 'lost', 'owned']
    rule: str | None
    area: float | None
    length: float | None
    share_pct: float


class ChangeRow(TypedDict):
    """
    One rule lowered or one thing chosen otherwise, and what the order becomes.
    """

    key: str
    rule: str | None
    asked: Any
    tried: Any
    cost_saved: float | None
    length_saved: float | None
    sticks_saved: int | None
    joints_saved: int | None
    waste_pct: float | None
    better: bool
    refused: str | None
    in_words: str
    patch: list[OperationRow]


class MeasureRow(TypedDict):
    """
    A measure that is off, and what the order becomes.
    """

    surface: str
    measure: str
    at: float
    off: float
    cost_more: float | None
    length_more: float | None
    sticks_more: int | None
    changes: bool
    in_words: str
    patch: list[OperationRow]


class AirAsked(TypedDict):
    """
    Air as it will be round the boards for a season: by its humidity, or what it brings wood to.

    `humidity`, `wet_bulb` or `dew_point` goes with a `temperature`; `mc` stands alone.
    """

    id: str
    temperature: NotRequired[float | str | None]
    humidity: NotRequired[float | None]
    wet_bulb: NotRequired[float | str | None]
    dew_point: NotRequired[float | str | None]
    mc: NotRequired[float | None]


class WoodAsked(TypedDict):
    """
    How moist some wood is: readings of a meter visit by visit, or one figure.
    """

    mc: NotRequired[float | None]
    readings: NotRequired[list[ReadingsAsked] | None]


class MoistureSummary(TypedDict):
    """
    Whether boards may go up, and what they will do.
    """

    verdict: Literal['install', 'hold', 'read_again']
    mc_boards: float
    mc_framing: float | None
    mc_low: float
    mc_high: float
    swells: float
    shrinks: float
    swells_over_all: float
    shrinks_over_all: float
    spacer: float
    gap: float
    in_words: str


class MoistureCheckRow(TypedDict):
    """
    One thing that must be so before boards go up, or for them to stay as they are.
    """

    check: Literal['boards_at_service', 'boards_at_rest', 'boards_and_framing', 'framing_dry', 'boards_read', 'framing_read', 'boards_meter', 'framing_meter', 'joints_close', 'joints_open', 'tongues_stay', 'gap_at_walls', 'formula_range']
    found: float | None
    limit: float | None
    measured_in: Literal['points', 'count', 'length']
    result: Literal['met', 'not_met', 'not_checkable']
    holds_up: bool
    rule: str
    in_words: str


class AirRow(TypedDict):
    """
    Air in service for a season, and what it brings wood to.
    """

    air: str
    by: Literal['humidity', 'wet_bulb', 'dew_point', 'mc']
    fahrenheit: float | None
    celsius: float | None
    humidity_pct: float | None
    mc: float
    tabulated: bool


class VisitRow(TypedDict):
    """
    What a meter read at one visit.
    """

    of: Literal['boards', 'framing']
    visit: int
    hours: int
    readings: int
    least: float
    most: float
    read: float
    correction: float
    mc: float
    reliable: bool


class MovementRow(TypedDict):
    """
    How boards move from now to one season; under zero they shrink.
    """

    air: str
    from_mc: float
    to_mc: float
    points: float
    each: float
    over_all: float
    in_range: bool
    each_by_shrinkage: float | None


class StackRow(TypedDict):
    """
    How boards are stacked while they wait: stickered, covered on top, open at the sides.
    """

    length: float
    width: float
    height: float
    boards: int
    rows: int
    across: int
    bearers: int
    stickers: int
    stick_length: float
    cover: float
    in_words: str


class ComparisonAnswerParts(TypedDict):
    """
    Of ComparisonAnswer the tables that were asked for, and all that is no table.
    """

    version: Version
    units: Units
    ranked_by: list[str]
    in_words: list[str]
    variations: NotRequired[list[VariationRow]]
    refused: NotRequired[list[RefusedRow]]
    at_hand: NotRequired[list[AtHandRow]]
    to_buy: NotRequired[list[ToBuyRow]]
    used: NotRequired[list[UsedRow]]
    rips: NotRequired[list[RipRow]]
    waste: NotRequired[list[WasteRow]]
    changes: NotRequired[list[ChangeRow]]
    measures: NotRequired[list[MeasureRow]]


class MoistureAnswerParts(TypedDict):
    """
    Of MoistureAnswer the tables that were asked for, and all that is no table.
    """

    version: Version
    units: Units
    summary: NotRequired[MoistureSummary]
    checks: NotRequired[list[MoistureCheckRow]]
    air: NotRequired[list[AirRow]]
    visits: NotRequired[list[VisitRow]]
    movement: NotRequired[list[MovementRow]]
    stacks: NotRequired[list[StackRow]]
    basis: NotRequired[list[BasisRow]]


class RoomAsked(TypedDict):
    """
    One room: a rectangle of boards on framing. An empty cell is as good as none.
    """

    room: NotRequired[str | float | None]
    unit: NotRequired[str | float | None]
    type: NotRequired[str | float | None]
    length: NotRequired[str | float | None]
    width: NotRequired[str | float | None]
    boards_run: NotRequired[str | float | None]
    support_spacing: NotRequired[str | float | None]
    first_support: NotRequired[str | float | None]
    opening_along: NotRequired[str | float | None]
    opening_across: NotRequired[str | float | None]
    opening_length: NotRequired[str | float | None]
    opening_width: NotRequired[str | float | None]
    board: NotRequired[str | float | None]
    profile: NotRequired[str | float | None]
    ends: NotRequired[str | float | None]
    overall: NotRequired[str | float | None]
    coverage: NotRequired[str | float | None]
    thickness: NotRequired[str | float | None]
    stock: NotRequired[str | float | None]
    prices: NotRequired[str | float | None]
    currency: NotRequired[str | float | None]
    cull: NotRequired[str | float | None]
    start: NotRequired[str | float | None]


class RoomsAsked(TypedDict):
    """
    A sheet of rooms, each taken off by itself.
    """

    rows: list[RoomAsked]


class RoomTakenOff(TypedDict):
    """
    One room: the cells that were sent, then what it takes.
    """

    room: str | float | None
    unit: str | float | None
    type: str | float | None
    length: str | float | None
    width: str | float | None
    boards_run: str | float | None
    support_spacing: str | float | None
    first_support: str | float | None
    opening_along: str | float | None
    opening_across: str | float | None
    opening_length: str | float | None
    opening_width: str | float | None
    board: str | float | None
    profile: str | float | None
    ends: str | float | None
    overall: str | float | None
    coverage: str | float | None
    thickness: str | float | None
    stock: str | float | None
    prices: str | float | None
    currency: str | float | None
    cull: str | float | None
    start: str | float | None
    status: Literal['ok', 'refused', 'empty', 'unanswered']
    area: float | None
    area_unit: Literal['ft2', 'm2'] | None
    courses: int | None
    pieces: int | None
    joints: int | None
    fasteners: int | None
    sticks: int | None
    bought: float | None
    buy: str | None
    waste_pct: float | None
    extra_pct: float | None
    price: str | None
    findings: str | None
    error: str | None


class RoomsTakenOff(TypedDict):
    """
    The rooms in the order in which they were sent.
    """

    version: Version
    rows: list[RoomTakenOff]


RoomsSheet: TypeAlias = str


Figure: TypeAlias = str


JobLines: TypeAlias = str


class Kinds(TypedDict):
    """
    The kinds of layer.
    """

    kinds: list[str]


class RuleDefault(TypedDict):
    """
    A default of a rule.
    """

    rule: str
    default: Any
    why: str


class Table(TypedDict):
    id: str
    title: str
    document: str


class Tables(TypedDict):
    """
    The tables in use.
    """

    tables: list[Table]


class Table1(TypedDict):
    """
    One table as its file has it: its source, and its rows or entries by key.
    """

    id: str
    title: NotRequired[str]
    document: NotRequired[str]


class Rule(TypedDict):
    number: str
    name: str


class RuleBook(TypedDict):
    """
    The rules of the trade by number.
    """

    rules: list[Rule]


class Default(TypedDict):
    kind: str
    key: str
    why: str
    default: Any


class TradeRule(TypedDict):
    """
    One rule of the trade: what it says, and the defaults that it sets.
    """

    number: str
    name: str
    sentence: str
    source: str
    defaults: list[Default]


class ProblemTold(TypedDict):
    """
    One problem type.
    """

    type: str
    status: int
    title: str
    says: str


class CodeTold(TypedDict):
    """
    One code of a fault or a finding.
    """

    code: str
    sort: Literal['json', 'shape', 'refusal', 'finding']
    says: str


class Health(TypedDict):
    """
    That the service lives, or that it can take work.
    """

    status: Literal['live', 'ready']


class ProblemError(TypedDict):
    """
    One fault; members that do not apply are left out.
    """

    pointer: NotRequired[str]
    code: Literal['air', 'beads-wide', 'beam-joints-blocked', 'beam-too-small', 'beams', 'beams-not-square', 'blind-too-wide', 'blocks-too-many', 'board-narrow', 'board-too-wide', 'bool-type', 'breaker-no-room', 'byte-order-mark', 'cannot-be-opened', 'cell', 'choice', 'clip', 'compare', 'core-too-wide', 'coverage', 'coverage-contradicts', 'coverage-is-overall', 'coverage-wrong', 'crosses-itself', 'delivered', 'drier-than-air-can-be', 'duplicate-key', 'edge', 'edge-twice', 'end-matched-on-framing', 'equal-needs-lapped', 'exponent', 'extra-forbidden', 'fastener-short', 'flange-wide', 'floating-needs-end-matched', 'forbidden-character', 'gap-passes-edge', 'greater-than', 'greater-than-equal', 'id-twice', 'impossible-triangle', 'int-type', 'jobs-differ', 'joints-blocked', 'joints-not-level', 'laid-over-beams', 'lap-wide', 'left', 'length', 'less-than-equal', 'lines-need-lapped', 'list-type', 'literal-error', 'matched', 'missing', 'mitred-unequal', 'model-attributes-type', 'model-type', 'nailers-laid', 'no-area', 'no-bay', 'no-beam', 'no-bearing', 'no-corner-before', 'no-lap', 'no-lines', 'no-member-behind', 'no-member-crossed', 'no-panel-behind', 'no-sheathing', 'no-such-edge', 'no-such-member', 'no-such-opening', 'no-such-piece', 'no-such-product', 'no-such-species', 'no-such-surface', 'no-supports', 'no-tongue', 'not-a-number', 'not-as-you-go', 'not-json', 'not-tried', 'not-utf-8', 'nothing-left', 'nothing-on-hand', 'nothing-to-hold', 'nothing-up-there', 'opening', 'opening-outside', 'over-limit', 'pack', 'parameter', 'part-wider-than-board', 'piece-too-long', 'price-missing', 'prices', 'printed', 'product-twice', 'read-beyond-member', 'read-twice', 'rests-need-prices', 'reveal-needs-sides', 'reveal-too-deep', 'rip-too-small', 'roll-too-narrow', 'roll-too-short', 'seam-on-no-member', 'shallower-through', 'sheets-blocked', 'skins-need-square-edges', 'spacer-in-lap', 'spacer-too-wide', 'spacing-odd', 'starter-needs-lapped', 'stock-rules-differ', 'stock-short', 'stock-too-short', 'strap-too-short', 'straps-along-members', 'straps-too-near', 'string-pattern-mismatch', 'string-too-long', 'string-too-short', 'string-type', 'strip-beyond-surface', 'strip-meets-opening', 'supports', 'surface', 'tally', 'tongue-leaves-groove', 'too-deep', 'too-long', 'too-many-digits', 'too-many-widths', 'too-short', 'trim', 'trim-needs-square-edges', 'tuck-too-deep', 'union-tag-invalid', 'union-tag-not-found', 'unit-slip', 'visit-before-last', 'warmer-than-air', 'wet-bulb-frozen', 'width', 'wood', 'wrap-needs-panelling', 'wrong-form', 'zone-unfilled']
    detail: str
    rule: NotRequired[str]
    measure: NotRequired[float]
    limit: NotRequired[float]
    cure: NotRequired[list[OperationRow]]


class JobAir(TypedDict):
    """
    Air round the boards of a job for a season.
    """

    id: str
    temperature: NotRequired[float | str | None]
    humidity: NotRequired[float | None]
    wet_bulb: NotRequired[float | str | None]
    dew_point: NotRequired[float | str | None]
    mc: NotRequired[float | None]
    surfaces: NotRequired[list[str] | None]


class JobBoards(TypedDict):
    """
    What boards of a product are of, and how moist they are.
    """

    mc: NotRequired[float | None]
    readings: NotRequired[list[ReadingsAsked] | None]
    species: NotRequired[Literal['western_redcedar', 'northern_white_cedar', 'incense_cedar', 'atlantic_white_cedar', 'port_orford_cedar', 'yellow_cedar', 'eastern_redcedar', 'douglas_fir_coast', 'douglas_fir_interior_north', 'douglas_fir_interior_west', 'white_fir', 'redwood_old_growth', 'redwood_young_growth', 'eastern_white_pine', 'ponderosa_pine', 'loblolly_pine', 'longleaf_pine', 'sugar_pine', 'baldcypress', 'sitka_spruce', 'red_oak', 'white_oak', 'sugar_maple', 'american_beech', 'black_cherry', 'black_walnut', 'yellow_poplar'] | None]
    grain: NotRequired[Literal['flat', 'edge'] | None]
    coefficient: NotRequired[float | None]
    product: str


class MoistureRules(TypedDict):
    """
    What is judged by: points of moisture content, hours, and lengths.
    """

    slack: NotRequired[float | str | None]
    spacer_step: NotRequired[float | str | None]
    gap_step: NotRequired[float | str | None]
    gap_share: NotRequired[float | None]
    tongue_kept: NotRequired[float | str | None]
    most_off: NotRequired[float | None]
    most_apart: NotRequired[float | None]
    framing_most: NotRequired[float | None]
    steady: NotRequired[float | None]
    steady_hours: NotRequired[int | None]
    least_readings: NotRequired[int | None]
    bearer_spacing: NotRequired[float | str | None]
    sticker_spacing: NotRequired[float | str | None]
    sticker: NotRequired[float | str | None]
    ground_clear: NotRequired[float | str | None]
    cover_over: NotRequired[float | str | None]


class Rate(TypedDict):
    """
    Hours for one of what there is to do.
    """

    item: Literal['area', 'pieces', 'crosscuts', 'rips', 'angles', 'notches', 'holes', 'fasteners', 'coats', 'beads', 'staging_moves']
    hours: float
    factor: NotRequired[float | None]


Edge = TypedDict(
    'Edge',
    {
        'edge': int,
        'is': NotRequired[Literal['covered', 'bare', 'tight', 'mitre', 'inside_first', 'inside_second', 'outside_lapping', 'outside_butting', 'outside_mitred', 'overhang'] | None],
        'thickness': NotRequired[float | str | None],
        'meets': NotRequired[str | None],
        'turn': NotRequired[float | None],
        'overhang': NotRequired[float | str | None],
        'gap': NotRequired[float | str | None],
        'beside': NotRequired[str | None],
    },
)


class Flatness(TypedDict):
    """
    Readings of how flat the members lie, taken from string lines in one plane.
    """

    readings: list[Reading]
    shim: NotRequired[float | str | None]
    straightedge: NotRequired[float | str | None]
    off: NotRequired[float | str | None]


class Opening(TypedDict):
    """
    A hole in the surface: a hatch, a light, a fan, a post.
    """

    id: str
    rectangle: NotRequired[list[float | str] | None]
    circle: NotRequired[list[float | str] | None]
    outline: NotRequired[list[list[float | str]] | None]
    clearance: NotRequired[float | str | None]
    cut_gap: NotRequired[float | str | None]
    flange: NotRequired[float | str | None]
    ring: NotRequired[str | None]
    fixture: NotRequired[Literal['can_light', 'heavy'] | None]


class Backing(TypedDict):
    """
    A solid panel or deck that already stands behind the layers and carries fasteners.
    """

    thickness: float | str


class BoardingRules(TypedDict):
    """
    Trade rules that concern boards. The nearest wins: layer, then surface, then job.

    The number of each rule stands in the kind's table of defaults, and with each value used in
    the answer's `basis`.
    """

    block_marks: NotRequired[float | str | None]
    backing: NotRequired[Literal['count', 'none'] | None]
    merge_blocks: NotRequired[float | str | None]
    end_nails: NotRequired[int | None]
    nailer_spacing: NotRequired[float | str | None]
    edge_nailer: NotRequired[float | str | None]
    opening_nailer: NotRequired[float | str | None]
    loss_hand: NotRequired[float | None]
    loss_collated: NotRequired[float | None]
    bite_ring: NotRequired[float | str | None]
    bite_smooth: NotRequired[float | str | None]
    bite_in: NotRequired[Literal['wood', 'framing', 'panel'] | None]
    bite_framing: NotRequired[float | str | None]
    min_touch: NotRequired[float | str | None]
    cull: NotRequired[float | None]
    spare: NotRequired[int | None]
    flat_pct: NotRequired[float | None]
    kerf: NotRequired[float | str | None]
    keep_offcut: NotRequired[float | str | None]
    cut_to: NotRequired[float | str | None]
    end_trim: NotRequired[float | str | None]
    joint_trim: NotRequired[float | str | None]
    wall_trim: NotRequired[float | str | None]
    joint_cost: NotRequired[float | str | None]
    offcut_value: NotRequired[float | None]
    gap: NotRequired[float | str | None]
    overhang: NotRequired[float | str | None]
    cut_wild: NotRequired[float | str | None]
    least_exposure: NotRequired[float | str | None]
    min_rip: NotRequired[float | str | None]
    preferred_rip: NotRequired[float | str | None]
    unsawn: NotRequired[float | str | None]
    taper_over: NotRequired[float | str | None]
    feature_tolerance: NotRequired[float | str | None]
    spacer_max: NotRequired[float | str | None]
    min_piece: NotRequired[float | str | None]
    min_bearings: NotRequired[int | None]
    most_joints: NotRequired[int | None]
    end_bearing: NotRequired[float | str | None]
    stagger: NotRequired[float | str | None]
    repeat: NotRequired[float | str | None]
    joint_from_hole: NotRequired[float | str | None]
    joint_beside_hole: NotRequired[float | str | None]
    joint_from_panel_joint: NotRequired[float | str | None]
    min_leg: NotRequired[float | str | None]
    merge_holes: NotRequired[float | str | None]
    long_hole: NotRequired[float | str | None]
    min_run: NotRequired[float | str | None]
    hanging_end: NotRequired[float | str | None]
    end_distance: NotRequired[float | str | None]
    panel_spacing: NotRequired[float | str | None]
    block_spacing: NotRequired[float | str | None]
    blind_up_to: NotRequired[float | str | None]
    blind_angle: NotRequired[float | None]
    per_crossing: NotRequired[int | None]


class BeamSet(TypedDict):
    """
    Beams that lie in one direction: so many evenly, on centre lines, or by clear bays.

    Positions are measured across the beams from the outline's lowest point: along +x for beams of
    direction 90, along +y for 0, otherwise along `direction` + 90 or - 90 degrees, whichever lies
    from 0 up to 180.
    """

    direction: float
    count: NotRequired[int | None]
    centres: NotRequired[list[float | str] | None]
    clear: NotRequired[list[float | str] | None]
    walls: NotRequired[list[Literal['low', 'high']] | None]
    wall_width: NotRequired[float | str | None]
    width: NotRequired[float | str | None]
    drop: NotRequired[float | str | None]
    through: NotRequired[bool | None]


class SheathingLayer(TypedDict):
    """
    A layer of sheets, behind what is laid on them or as a panelling that shows.
    """

    id: NotRequired[str | None]
    product: str
    coats: NotRequired[list[Coat] | None]
    beads: NotRequired[list[Bead] | None]
    filler: NotRequired[Filler | None]
    kind: Literal['sheathing']
    direction: NotRequired[float | None]
    start_side: NotRequired[Literal['low', 'high'] | None]
    edges: NotRequired[Literal['open', 'blocked', 'tongue', 'clips'] | None]
    patches: NotRequired[Literal['rows', 'blocks'] | None]
    end_joints: NotRequired[Literal['staggered', 'level'] | None]
    wrap_corner: NotRequired[str | None]
    strips: NotRequired[SheetStrips | None]
    tape: NotRequired[str | None]
    fastening: NotRequired[SheetFastening | None]
    rules: NotRequired[SheathingRules | None]


class StrappingLayer(TypedDict):
    """
    Straps (furring) across the members: what is laid on them bears on the straps.
    """

    id: NotRequired[str | None]
    product: str
    kind: Literal['strapping']
    direction: NotRequired[float | None]
    lines: NotRequired[Literal['equal', 'module'] | None]
    first: NotRequired[float | str | None]
    doubled: NotRequired[bool | Literal['joints'] | None]
    fastening: NotRequired[StrapFastening | None]
    rules: NotRequired[StrappingRules | None]


class Across(TypedDict):
    """
    Straight lines right across a surface, as those of the breaker boards of a deck.
    """

    direction: float
    at: list[float | str]


class WrapLayer(TypedDict):
    """
    A layer of house wrap.
    """

    id: NotRequired[str | None]
    product: str
    kind: Literal['wrap']
    direction: NotRequired[float | None]
    start_side: NotRequired[Literal['low', 'high'] | None]
    at_walls: NotRequired[Literal['turned', 'joined'] | None]
    tape: NotRequired[str | None]
    tape_edges: NotRequired[bool | None]
    cap_edges: NotRequired[bool | None]
    fastening: NotRequired[CapFastening | None]
    rules: NotRequired[WrapRules | None]


class StickLength(TypedDict):
    """
    One length that sticks can be had in, and whether their ends are cut already.
    """

    length: float | str
    price: NotRequired[float | str | None]
    on_hand: NotRequired[int | None]
    multiple: NotRequired[int | None]
    ends: NotRequired[list[Literal['raw', 'cut']] | None]


class PrintedGap(TypedDict):
    """
    The gap at walls.
    """

    where: str
    what: Literal['gap']
    least: float | str


class PrintedSupports(TypedDict):
    """
    What it is fastened to, on centre.
    """

    where: str
    what: Literal['supports']
    most: float | str


class PrintedClearance(TypedDict):
    """
    How far off the ground it waits.
    """

    where: str
    what: Literal['off_ground']
    least: float | str


class PrintedFastener(TypedDict):
    """
    What it is fastened with.
    """

    where: str
    what: Literal['fastener']
    shank: NotRequired[Literal['smooth', 'ring', 'screw'] | None]
    least: NotRequired[float | str | None]


class OwnedStick(TypedDict):
    """
    Sound sticks of one length that the caller has already, and how their ends are.
    """

    length: float | str
    count: int
    ends: NotRequired[list[Literal['raw', 'cut']] | None]


class TallyLength(TypedDict):
    """
    One length of a tally, and its share.
    """

    length: float | str
    share: float


class ClipProduct(TypedDict):
    """
    A clip, sold with what fastens it.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['clip']
    packs: list[ClipPack]


class CoatingProduct(TypedDict):
    """
    A primer, stain or paint: how far it goes by its own sheet, and in what it is sold.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['coating']
    spread: str
    raw_spread: NotRequired[float | None]
    packs: list[Can]
    owned: NotRequired[list[OwnedCan] | None]


class OwnedFasteners(TypedDict):
    """
    Fasteners of one length that the caller has already, as in an opened box.
    """

    length: float | str
    count: int


class LumberProduct(TypedDict):
    """
    Lumber of one section, of which blocks, nailers, cleats and straps are cut.

    Its ledger is kept in length: none of it covers an area.
    """

    id: str
    stock: list[StickLength]
    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['lumber']
    thickness: float | str
    nominal: NotRequired[Nominal | None]
    wood: NotRequired[Literal['plain', 'treated', 'acidic'] | None]
    density: NotRequired[str | float | None]
    owned: NotRequired[list[OwnedStick] | None]
    width: float | str


class MouldingProduct(TypedDict):
    """
    A moulding or flat trim that runs along edges: a cove, a casing, a corner board.

    Its back edge lies against the wall or the opening. It is never turned end for end nor over, so
    each piece has a left and a right end of its own. Its ledger is kept in length.
    """

    id: str
    stock: list[StickLength]
    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['moulding']
    thickness: float | str
    nominal: NotRequired[Nominal | None]
    wood: NotRequired[Literal['plain', 'treated', 'acidic'] | None]
    density: NotRequired[str | float | None]
    owned: NotRequired[list[OwnedStick] | None]
    width: float | str
    projection: NotRequired[float | str | None]
    meets: NotRequired[Literal['scarfed', 'butted'] | None]
    flange: NotRequired[float | str | None]
    free_area: NotRequired[float | str | None]


class PieceGoodsProduct(TypedDict):
    """
    Something that is bought by the piece, as a ring or a trim plate round an opening.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['piece_goods']
    per_pack: NotRequired[int | None]
    price: NotRequired[float | str | None]


class StockLength(TypedDict):
    """
    One length that can be bought.
    """

    length: float | str
    price: NotRequired[float | str | None]
    on_hand: NotRequired[int | None]
    multiple: NotRequired[int | None]


class OwnedLength(TypedDict):
    """
    Sound pieces of one length that the caller has already: they cost nothing.
    """

    length: float | str
    count: int


class SealantProduct(TypedDict):
    """
    A sealant or a glue that is laid in beads, and in what it is sold.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['sealant']
    packs: list[Can]
    owned: NotRequired[list[OwnedCan] | None]
    loss: NotRequired[float | None]


class SheetProduct(TypedDict):
    """
    A sheet: its actual width and thickness, and the actual lengths it comes in.

    The length runs with the strength axis. A sheet made for gaps is sent at its true size
    (47-7/8 x 95-7/8 in); a full-size one is trimmed at each joint.
    """

    id: str
    stock: list[StockLength]
    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['sheet']
    width: float | str
    thickness: float | str
    beads: NotRequired[Beads | None]
    lap: NotRequired[float | str | None]
    wood: NotRequired[Literal['plain', 'treated', 'acidic'] | None]
    density: NotRequired[str | float | None]
    owned: NotRequired[list[OwnedLength] | None]


class TapeProduct(TypedDict):
    """
    A roll of seam tape.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['tape']
    width: float | str
    length: float | str
    price: NotRequired[float | str | None]
    owned: NotRequired[int | None]


class SurfaceRow(TypedDict):
    """
    One surface in true size.
    """

    surface: str
    type: Literal['ceiling', 'soffit', 'wall', 'floor', 'deck']
    support: Literal['joist', 'lookout', 'stud', 'rafter', 'framing member']
    gross: float
    openings: float
    net: float
    gaps: float
    installed: float
    perimeter: float
    outline: list[list[float]]
    beside: list[BesideRow]


PieceRow = TypedDict(
    'PieceRow',
    {
        'id': str,
        'label': str,
        'surface': str,
        'layer': str,
        'region': int,
        'product': str,
        'course': int,
        'run': str,
        'near': float,
        'far': float,
        'from': float,
        'to': float,
        'length': float,
        'width': float | None,
        'ends': list[str],
        'long_points': list[float],
        'short_points': list[float],
        'end_angles': list[float | None],
        'rip': Literal['groove', 'tongue', 'near', 'far', 'both', 'none'],
        'notches': int,
        'holes': int,
        'cutouts': list[CutoutRow],
        'work': list[SawRow],
        'shape': list[list[list[float]]],
        'area': float,
        'bearings': int,
        'stick': str,
        'ticks': int,
    },
)


class ProofRow(TypedDict):
    """
    The prices of a proof: no stick is worth more than it costs, and all runs so much at least.

    The cheapest way of making each run is what its pieces are worth and what its joints cost, each
    with the prices of the windows that it lies in. Their sum, less each window's price for each
    joint that it can have and each cap's for each stick that there is, is what any plan costs.
    """

    grid: int
    per: int
    joint: int
    worths: list[WorthRow]
    widths: list[RipShareRow]
    windows: list[WindowRow]
    caps: list[int]
    runs: list[ProvedRunRow]


class TraceRow(TypedDict):
    """
    One figure of a line of the order: its formula, its inputs and its rule.
    """

    line: int
    product: str
    item: str
    figure: str
    formula: str
    inputs: list[TraceInput]
    result: str
    unit: str
    rule: str
    table: str | None


class FindingRow(TypedDict):
    """
    Something legal that should be known.
    """

    code: Literal['backing-no-fastener', 'backing-not-ordered', 'backing-too-long', 'bead-in-gap', 'beads-broken', 'beam-crosses-opening', 'beam-end-aslant', 'blind-too-wide', 'blocks-needed', 'boards-hidden', 'boards-wait', 'bottom-ripped', 'core-other-width', 'corner-not-wrapped', 'corner-wrapped', 'corner-ripped', 'count-by-diameter', 'coverage-over-nominal', 'coverage-unusual', 'cut-to-line', 'cuts-shared', 'diagonal-misfit', 'edges-unsupported', 'end-narrow', 'ends-hang', 'ends-on-panel', 'ends-square', 'exposures-by-zone', 'fastener-corrodes', 'fastener-short', 'feature-missed', 'fixture-braced', 'flange-narrow', 'framing-uneven', 'free-area-short', 'free-area-unknown', 'gap-below-movement', 'gap-for-moisture', 'gap-takes-rip', 'gap-takes-strip', 'gap-uncovered', 'glue-not-named', 'glue-overhead', 'groove-shows', 'h-joint', 'held-by-blocks', 'held-by-panel', 'hold-limited', 'hole-covered', 'hole-long', 'hole-on-joint', 'joint-near-corner', 'joint-near-hole', 'joint-on-panel-joint', 'joint-opens', 'lap-nailed-through', 'lap-short', 'laps-against-water', 'laps-shed-water', 'last-course-drop-in', 'leg-cut-out', 'leg-frail', 'leg-unbacked', 'many-joints', 'member-outside', 'members-crossed', 'members-not-read', 'metal-unknown', 'mitres-cross', 'moisture-not-known', 'moulding-narrow', 'moves-beyond-range', 'no-clip', 'no-core', 'no-core-fastener', 'no-cull', 'no-currency', 'no-fastener', 'no-spare', 'no-tape', 'no-wall-beside', 'not-framed', 'offcuts-short', 'opening-crosses-edge', 'opening-under-beam', 'openings-merged', 'outer-edge', 'outer-edge-ripped', 'part-left-out', 'piece-unheld', 'prices-partial', 'printed-not-met', 'raw-ends-tight', 'rim-ripped', 'rip-small', 'rips-shared', 'room-unsettled', 'rules-not-costed', 'run-dropped', 'runs-parted', 'scarf-off-member', 'seam-near-corner', 'sheet-length-lost', 'sheets-trimmed', 'shims-thick', 'smooth-nail-in-panel', 'spacer-for-moisture', 'spacing-unusual', 'staircase', 'starter-strip', 'strap-loose', 'strap-narrow', 'strip-narrow', 'strip-over-layers', 'swells-beyond-joint', 'taken-as-square', 'tally-too-short', 'taper', 'unit-slip', 'view-not-sent', 'wall-in-beam', 'width-for-turn-down', 'wrap-round-corner', 'widths-not-level']
    at: str
    text: str
    rule: str | None
    measure: float | None
    limit: float | None
    cure: list[OperationRow] | None


class CutPiece(TypedDict):
    """
    Pieces of one length.
    """

    id: NotRequired[str | None]
    length: float | str
    count: NotRequired[int | None]
    ends: NotRequired[list[Literal['square', 'covered', 'matched'] | MitredEnd] | None]


class CutPlanAnswer(TypedDict):
    """
    Pieces cut from sticks, and what is bought.
    """

    version: Version
    units: Units
    summary: CutSummary
    sticks: list[StickRow]
    cut_plans: list[CutPlanRow]
    order: list[OrderRow]
    owned: list[OwnedRow]
    ledger: list[LedgerRow]
    compared: list[ComparedRow]
    findings: list[FindingRow]
    basis: list[BasisRow]


class Installed(TypedDict):
    """
    What is up of the first job: a surface or a layer of it, whole or some of its pieces.
    """

    surface: NotRequired[str | None]
    layer: NotRequired[str | None]
    courses: NotRequired[Stretch | None]
    pieces: NotRequired[list[str] | None]


class Leftover(TypedDict):
    """
    Cut stock or an opened package that is left: used first, as it lies, and never given back.
    """

    product: str
    length: NotRequired[float | str | None]
    count: int
    ends: NotRequired[list[Literal['raw', 'cut']] | None]
    holds: NotRequired[str | None]
    left: NotRequired[str | None]
    width: NotRequired[float | str | None]


class Delivered(TypedDict):
    """
    Whole sticks, sheets, rolls or packages of the first order that came and are not used.
    """

    product: str
    length: NotRequired[float | str | None]
    count: int
    holds: NotRequired[str | None]
    returnable: NotRequired[bool | None]


class Variation(TypedDict):
    """
    The job with something changed.
    """

    id: str
    patch: list[Put | Take | Carry]


class DeliveredBoards(TypedDict):
    """
    What came of a product, or was found on the site.
    """

    product: str
    lengths: NotRequired[list[OwnedStick] | None]
    ten_boards: NotRequired[float | str | None]


class ComparisonAnswer(TypedDict):
    """
    A job beside variations of it.
    """

    version: Version
    units: Units
    ranked_by: list[str]
    in_words: list[str]
    variations: list[VariationRow]
    refused: list[RefusedRow]
    at_hand: list[AtHandRow]
    to_buy: list[ToBuyRow]
    used: list[UsedRow]
    rips: list[RipRow]
    waste: list[WasteRow]
    changes: list[ChangeRow]
    measures: list[MeasureRow]


class BoardsAsked(TypedDict):
    """
    Boards that lie beside each other, with no surface.
    """

    mc: NotRequired[float | None]
    readings: NotRequired[list[ReadingsAsked] | None]
    species: NotRequired[Literal['western_redcedar', 'northern_white_cedar', 'incense_cedar', 'atlantic_white_cedar', 'port_orford_cedar', 'yellow_cedar', 'eastern_redcedar', 'douglas_fir_coast', 'douglas_fir_interior_north', 'douglas_fir_interior_west', 'white_fir', 'redwood_old_growth', 'redwood_young_growth', 'eastern_white_pine', 'ponderosa_pine', 'loblolly_pine', 'longleaf_pine', 'sugar_pine', 'baldcypress', 'sitka_spruce', 'red_oak', 'white_oak', 'sugar_maple', 'american_beech', 'black_cherry', 'black_walnut', 'yellow_poplar'] | None]
    grain: NotRequired[Literal['flat', 'edge'] | None]
    coefficient: NotRequired[float | None]
    coverage: float | str
    over: NotRequired[float | str | None]
    tongue: NotRequired[float | str | None]
    spacer: NotRequired[float | str | None]
    gap: NotRequired[float | str | None]


class StackAsked(TypedDict):
    """
    Boards of one length that wait in a stack.
    """

    length: float | str
    count: int
    overall: float | str
    thickness: float | str
    width: NotRequired[float | str | None]


class MoistureAnswer(TypedDict):
    """
    Whether boards may go up, and how they move.
    """

    version: Version
    units: Units
    summary: MoistureSummary
    checks: list[MoistureCheckRow]
    air: list[AirRow]
    visits: list[VisitRow]
    movement: list[MovementRow]
    stacks: list[StackRow]
    basis: list[BasisRow]


class CutPlanAnswerParts(TypedDict):
    """
    Of CutPlanAnswer the tables that were asked for, and all that is no table.
    """

    version: Version
    units: Units
    summary: NotRequired[CutSummary]
    sticks: NotRequired[list[StickRow]]
    cut_plans: NotRequired[list[CutPlanRow]]
    order: NotRequired[list[OrderRow]]
    owned: NotRequired[list[OwnedRow]]
    ledger: NotRequired[list[LedgerRow]]
    compared: NotRequired[list[ComparedRow]]
    findings: NotRequired[list[FindingRow]]
    basis: NotRequired[list[BasisRow]]


class KindRule(TypedDict):
    """
    One rule that can be set of a kind.
    """

    key: str
    description: str | None
    defaults: list[RuleDefault]


class Codes(TypedDict):
    """
    All problem types, and all codes of faults and findings.
    """

    problems: list[ProblemTold]
    codes: list[CodeTold]


class Problem(TypedDict):
    """
    An error as RFC 9457 has it. Further members may be added.
    """

    type: Literal['/problems/bad-request', '/problems/busy', '/problems/head-too-large', '/problems/internal-fault', '/problems/interrupted', '/problems/key-needed', '/problems/late', '/problems/law-broken', '/problems/limit-exceeded', '/problems/malformed-json', '/problems/method-not-allowed', '/problems/not-acceptable', '/problems/not-found', '/problems/not-ready', '/problems/origin-refused', '/problems/shape-refused', '/problems/stopping', '/problems/too-large', '/problems/too-many', '/problems/too-slow', '/problems/trade-refused', '/problems/wrong-type']
    title: str
    status: int
    detail: str
    instance: str
    available: NotRequired[list[str]]
    count: NotRequired[int]
    errors: NotRequired[list[ProblemError]]


class Supports(TypedDict):
    """
    The members behind the surface: by spacing and first position, or each one's position.

    Positions are centre lines, measured across the members from the outline's lowest point, or from
    `origin`: along +x for members of direction 90, along +y for 0, otherwise along `direction` + 90
    or - 90 degrees, whichever lies from 0 up to 180. A member beyond the outline is a finding; of
    those measured from an `origin`, each surface takes the ones that lie behind it.
    """

    direction: float
    spacing: NotRequired[float | str | None]
    first: NotRequired[float | str | None]
    ends: NotRequired[bool | None]
    at: NotRequired[list[float | str] | None]
    origin: NotRequired[list[float | str] | None]
    thickness: NotRequired[float | str | None]
    shim: NotRequired[float | str | None]


class JobMoisture(TypedDict):
    """
    The moisture of a job: where it gives boards no room, they are laid anew with more.
    """

    air: list[JobAir]
    boards: list[JobBoards]
    framing: NotRequired[list[JobFraming] | None]
    rules: NotRequired[MoistureRules | None]


class Labour(TypedDict):
    """
    Rates for hours, and who works.
    """

    rates: list[Rate]
    overhead: NotRequired[float | None]
    reach: NotRequired[float | None]
    crew: NotRequired[int | None]
    day: NotRequired[float | None]


class BoardingLayer(TypedDict):
    """
    A layer of boards.
    """

    id: NotRequired[str | None]
    product: str
    coats: NotRequired[list[Coat] | None]
    beads: NotRequired[list[Bead] | None]
    filler: NotRequired[Filler | None]
    kind: Literal['boarding']
    direction: float
    start: NotRequired[Literal['balanced', 'balanced_narrow', 'full_first', 'equal'] | None]
    start_side: NotRequired[Literal['low', 'high'] | None]
    aim: NotRequired[list[Aim] | None]
    bays: NotRequired[Literal['continuous', 'per_bay'] | None]
    course_lines: NotRequired[list[float | str] | None]
    wrap_corner: NotRequired[str | None]
    spacer: NotRequired[float | str | None]
    edges: NotRequired[Literal['covered', 'bare'] | None]
    joints: NotRequired[Literal['framing', 'framing_or_block', 'sheathing', 'anywhere', 'floating', 'none'] | None]
    blocks: NotRequired[bool | None]
    plates: NotRequired[bool | None]
    starter: NotRequired[str | None]
    fastening: NotRequired[BoardFastening | None]
    rules: NotRequired[BoardingRules | None]


class BoxBeamLayer(TypedDict):
    """
    Box beams, as of a coffered ceiling: skins on a core or cleat.
    """

    id: NotRequired[str | None]
    product: str
    coats: NotRequired[list[Coat] | None]
    beads: NotRequired[list[Bead] | None]
    filler: NotRequired[Filler | None]
    kind: Literal['box_beams']
    core: NotRequired[str | None]
    sets: list[BeamSet]
    width: float | str
    drop: float | str
    mode: NotRequired[Literal['boards_over', 'boards_to_beam', 'between_blocking'] | None]
    corners: NotRequired[Literal['sides_outside', 'bottom_over', 'mitred'] | None]
    reveal: NotRequired[float | str | None]
    crossings: NotRequired[Literal['butted', 'mitred'] | None]
    core_width: NotRequired[float | str | None]
    square_edges: NotRequired[bool | None]
    fastening: NotRequired[BeamFastening | None]
    rules: NotRequired[BoxBeamRules | None]


class TrimLayer(TypedDict):
    """
    Mouldings along walls, bays and corners, or frames round openings.
    """

    id: NotRequired[str | None]
    product: str
    coats: NotRequired[list[Coat] | None]
    beads: NotRequired[list[Bead] | None]
    filler: NotRequired[Filler | None]
    kind: Literal['trim']
    around: NotRequired[Literal['walls', 'openings'] | None]
    edges: NotRequired[list[int] | None]
    from_edge: NotRequired[float | str | None]
    across: NotRequired[Across | None]
    gap: NotRequired[float | str | None]
    free_area: NotRequired[float | str | None]
    openings: NotRequired[list[str] | None]
    inside: NotRequired[Literal['by_angle', 'coped', 'mitred', 'butted'] | None]
    frame: NotRequired[Literal['butted', 'mitred'] | None]
    board: NotRequired[Literal['lapping', 'butting'] | None]
    fastening: NotRequired[TrimFastening | None]
    rules: NotRequired[TrimRules | None]


class Tally(TypedDict):
    """
    The mix of lengths in which a board comes where it is sold in random lengths.
    """

    by: Literal['pieces', 'length']
    lengths: list[TallyLength]
    bundle: NotRequired[float | str | None]


class FastenerProduct(TypedDict):
    """
    Nails or screws of one make, in the lengths that can be had, and how they are packed.
    """

    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    id: str
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['fastener']
    lengths: list[float | str]
    shank: Literal['smooth', 'ring', 'screw']
    metal: NotRequired[Literal['bare', 'electroplated', 'hot_dipped', 'aluminium', 'silicon_bronze', 'copper', 'stainless', 'stainless_316'] | None]
    feed: NotRequired[Literal['hand', 'collated'] | None]
    per_box: NotRequired[int | None]
    per_pound: NotRequired[float | None]
    diameter: NotRequired[float | str | None]
    pounds: NotRequired[float | None]
    price: NotRequired[float | str | None]
    packs: NotRequired[list[FastenerPack] | None]
    owned: NotRequired[list[OwnedFasteners] | None]


class RollProduct(TypedDict):
    """
    A roll of wrap: its width, and the lengths it comes in.
    """

    id: str
    stock: list[StockLength]
    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['roll']
    width: float | str
    owned: NotRequired[list[OwnedLength] | None]
    thickness: NotRequired[float | str | None]


class CertificateRow(TypedDict):
    """
    The bound of one plan, and of it what anybody can check without the service.
    """

    product: str
    measured_in: Literal['money', 'length', 'sticks', 'joints', 'sheets', 'rolls']
    bound: float
    bound_by: Literal['proof', 'search']
    certified_bound: float | None
    why_not: str | None
    in_words: str
    proof: ProofRow | None


class CutPlanAsked(TypedDict):
    """
    Pieces to be cut, the stock that they are cut from, and the saw.
    """

    unit: Literal['in', 'ft', 'mm', 'cm', 'm']
    pieces: list[CutPiece]
    stock: list[StickLength]
    owned: NotRequired[list[OwnedStick] | None]
    product: NotRequired[CutProduct | None]
    width: NotRequired[float | str | None]
    profile: NotRequired[Literal['tongue_and_groove', 'shiplap', 'square_edge', 'lapped'] | None]
    rules: NotRequired[CutRules | None]
    objective: NotRequired[Literal['least_cost', 'least_length', 'fewest_sticks', 'fewest_lengths'] | None]
    currency: NotRequired[str | None]
    effort: NotRequired[Literal['quick', 'standard', 'thorough'] | None]
    note: NotRequired[str | None]


class MoistureAsked(TypedDict):
    """
    Boards, the air that they will live in, and the wood behind them.
    """

    unit: Literal['in', 'ft', 'mm', 'cm', 'm']
    air: list[AirAsked]
    boards: BoardsAsked
    framing: NotRequired[WoodAsked | None]
    stack: NotRequired[StackAsked | None]
    rules: NotRequired[MoistureRules | None]
    note: NotRequired[str | None]


class AnswerParts(TypedDict):
    """
    Of Answer the tables that were asked for, and all that is no table.
    """

    version: Version
    units: Units
    summary: NotRequired[Summary]
    surfaces: NotRequired[list[SurfaceRow]]
    layers: NotRequired[list[LayerRow]]
    regions: NotRequired[list[RegionRow]]
    members: NotRequired[list[MemberRow]]
    openings: NotRequired[list[OpeningRow]]
    products: NotRequired[list[ProductRow]]
    alternatives: NotRequired[list[AlternativeRow]]
    courses: NotRequired[list[CourseRow]]
    beams: NotRequired[list[BeamRow]]
    bays: NotRequired[list[BayRow]]
    beam_parts: NotRequired[list[BeamPartRow]]
    runs: NotRequired[list[RunRow]]
    pieces: NotRequired[list[PieceRow]]
    joints: NotRequired[list[JointRow]]
    trim_lengths: NotRequired[list[TrimRow]]
    trim_totals: NotRequired[list[TrimTotalRow]]
    sticks: NotRequired[list[StickRow]]
    sheets: NotRequired[list[SheetRow]]
    cut_plans: NotRequired[list[CutPlanRow]]
    rule_costs: NotRequired[list[RuleCostRow]]
    shims: NotRequired[list[ShimRow]]
    backing: NotRequired[list[BackingRow]]
    choices: NotRequired[list[ChoiceRow]]
    certificates: NotRequired[list[CertificateRow]]
    fasteners: NotRequired[list[FastenerRow]]
    liquids: NotRequired[list[LiquidRow]]
    consumables: NotRequired[list[ConsumableRow]]
    order: NotRequired[list[OrderRow]]
    owned: NotRequired[list[OwnedRow]]
    ledger: NotRequired[list[LedgerRow]]
    ledger_shares: NotRequired[list[LedgerShareRow]]
    order_shares: NotRequired[list[OrderShareRow]]
    random_lengths: NotRequired[list[TallyRow]]
    labour: NotRequired[list[LabourRow]]
    labour_totals: NotRequired[list[LabourTotalRow]]
    delivery: NotRequired[list[DeliveryRow]]
    trace: NotRequired[list[TraceRow]]
    compared: NotRequired[list[ComparedRow]]
    moisture: NotRequired[list[LayerMoistureRow]]
    moisture_checks: NotRequired[list[LayerCheckRow]]
    inspection: NotRequired[list[InspectionRow]]
    findings: NotRequired[list[FindingRow]]
    relaxed: NotRequired[list[RelaxedRow]]
    cautions: NotRequired[list[CautionRow]]
    not_computed: list[str]
    basis: NotRequired[list[BasisRow]]
    request: dict[str, Any] | None


class Kind(TypedDict):
    """
    One kind of layer: its forms of product, rules, defaults, schemas.
    """

    kind: str
    title: str
    forms: list[str]
    rules: list[KindRule]
    layer_schema: NotRequired[dict[str, Any]]
    product_schemas: NotRequired[dict[str, Any]]
    cautions: NotRequired[list[str]]
    not_computed: NotRequired[list[str]]


class Surface(TypedDict):
    """
    One area: its measure, what it hangs on, and its layers from the framing outward.
    """

    id: str
    type: NotRequired[Literal['ceiling', 'soffit', 'wall', 'floor', 'deck'] | None]
    view: NotRequired[Literal['facing', 'plan'] | None]
    rectangle: NotRequired[list[float | str] | None]
    outline: NotRequired[list[list[float | str]] | None]
    sides: NotRequired[list[float | str] | None]
    diagonals: NotRequired[list[float | str] | None]
    edges: NotRequired[list[Edge] | None]
    slope: NotRequired[Slope | None]
    supports: NotRequired[Supports | None]
    flatness: NotRequired[Flatness | None]
    openings: NotRequired[list[Opening] | None]
    backing: NotRequired[Backing | None]
    framing: NotRequired[Literal['plain', 'treated'] | None]
    near_salt: NotRequired[bool | None]
    nailers: NotRequired[str | None]
    nailer_fastener: NotRequired[str | None]
    layers: list[BoardingLayer | BoxBeamLayer | SheathingLayer | StrappingLayer | TrimLayer | WrapLayer]
    rules: NotRequired[Rules | None]


class BoardProduct(TypedDict):
    """
    A board: its actual sizes, and the lengths it comes in.

    Give `coverage`, or for tongue-and-groove `tongue`, for shiplap and lapped `lap`; it is never
    guessed from the nominal size.
    """

    id: str
    stock: list[StickLength]
    printed: NotRequired[list[PrintedGap | PrintedSupports | PrintedClearance | PrintedSlope | PrintedFastener | PrintedAcclimation | PrintedBarrier | PrintedWork] | None]
    species: NotRequired[str | None]
    grade: NotRequired[str | None]
    gauge: NotRequired[str | None]
    coating: NotRequired[str | None]
    description: NotRequired[str | None]
    form: Literal['board']
    thickness: float | str
    nominal: NotRequired[Nominal | None]
    wood: NotRequired[Literal['plain', 'treated', 'acidic'] | None]
    density: NotRequired[str | float | None]
    owned: NotRequired[list[OwnedStick] | None]
    profile: Literal['tongue_and_groove', 'shiplap', 'square_edge', 'lapped']
    ends: NotRequired[Literal['square', 'end_matched'] | None]
    overall: float | str
    coverage: NotRequired[float | str | None]
    tongue: NotRequired[float | str | None]
    lap: NotRequired[float | str | None]
    groove_depth: NotRequired[float | str | None]
    tally: NotRequired[Tally | None]


class Answer(TypedDict):
    """
    The takeoff of a job.
    """

    version: Version
    units: Units
    summary: Summary
    surfaces: list[SurfaceRow]
    layers: list[LayerRow]
    regions: list[RegionRow]
    members: list[MemberRow]
    openings: list[OpeningRow]
    products: list[ProductRow]
    alternatives: list[AlternativeRow]
    courses: list[CourseRow]
    beams: list[BeamRow]
    bays: list[BayRow]
    beam_parts: list[BeamPartRow]
    runs: list[RunRow]
    pieces: list[PieceRow]
    joints: list[JointRow]
    trim_lengths: list[TrimRow]
    trim_totals: list[TrimTotalRow]
    sticks: list[StickRow]
    sheets: list[SheetRow]
    cut_plans: list[CutPlanRow]
    rule_costs: list[RuleCostRow]
    shims: list[ShimRow]
    backing: list[BackingRow]
    choices: list[ChoiceRow]
    certificates: NotRequired[list[CertificateRow]]
    fasteners: list[FastenerRow]
    liquids: list[LiquidRow]
    consumables: list[ConsumableRow]
    order: list[OrderRow]
    owned: list[OwnedRow]
    ledger: list[LedgerRow]
    ledger_shares: list[LedgerShareRow]
    order_shares: list[OrderShareRow]
    random_lengths: list[TallyRow]
    labour: list[LabourRow]
    labour_totals: list[LabourTotalRow]
    delivery: list[DeliveryRow]
    trace: NotRequired[list[TraceRow]]
    compared: list[ComparedRow]
    moisture: list[LayerMoistureRow]
    moisture_checks: list[LayerCheckRow]
    inspection: list[InspectionRow]
    findings: list[FindingRow]
    relaxed: list[RelaxedRow]
    cautions: list[CautionRow]
    not_computed: list[str]
    basis: list[BasisRow]
    request: dict[str, Any] | None


class ChangeOrder(TypedDict):
    """
    What a change of a job asks for.
    """

    version: Version
    units: Units
    before_version: BeforeVersion | None
    summary: ChangeSummary
    totals: list[ChangeTotalRow]
    pieces: list[ChangedPieceRow]
    framing: list[ChangedFramingRow]
    order: list[ChangeOrderRow]
    steps: list[StepRow]
    work: Answer


class ChangeOrderParts(TypedDict):
    """
    Of ChangeOrder the tables that were asked for, and all that is no table.
    """

    version: Version
    units: Units
    before_version: BeforeVersion | None
    summary: NotRequired[ChangeSummary]
    totals: NotRequired[list[ChangeTotalRow]]
    pieces: NotRequired[list[ChangedPieceRow]]
    framing: NotRequired[list[ChangedFramingRow]]
    order: NotRequired[list[ChangeOrderRow]]
    steps: NotRequired[list[StepRow]]
    work: NotRequired[Answer]


class Job(TypedDict):
    """
    A job: surfaces with their layers, the products they are made of, and rules.
    """

    unit: Literal['in', 'ft', 'mm', 'cm', 'm']
    supports: NotRequired[Supports | None]
    nailers: NotRequired[str | None]
    nailer_fastener: NotRequired[str | None]
    objective: NotRequired[Literal['least_cost', 'least_length', 'fewest_sticks', 'fewest_joints', 'fewest_lengths'] | None]
    currency: NotRequired[str | None]
    when_blocked: NotRequired[Literal['refuse', 'relax'] | None]
    effort: NotRequired[Literal['quick', 'standard', 'thorough'] | None]
    method: NotRequired[Literal['together', 'as_you_go'] | None]
    moisture: NotRequired[JobMoisture | None]
    choices: NotRequired[bool | None]
    certificate: NotRequired[bool | None]
    explain: NotRequired[bool | None]
    labour: NotRequired[Labour | None]
    echo: NotRequired[bool | None]
    note: NotRequired[str | None]
    surfaces: list[Surface]
    products: list[BoardProduct | ClipProduct | CoatingProduct | FastenerProduct | LumberProduct | MouldingProduct | PieceGoodsProduct | RollProduct | SealantProduct | SheetProduct | TapeProduct]
    rules: NotRequired[Rules | None]


class Change(TypedDict):
    """
    A job before and after a change, and what of it is there.
    """

    installed: NotRequired[Literal['nothing', 'everything'] | list[Installed] | None]
    leftovers: NotRequired[list[Leftover] | None]
    delivered: NotRequired[list[Delivered] | None]
    before_version: NotRequired[MadeBy | None]
    before: Job
    after: Job


class ComparisonAsked(TypedDict):
    """
    A job, variations of it, and what else is asked of it.
    """

    variations: NotRequired[list[Variation] | None]
    ask: NotRequired[list[Literal['on_hand', 'waste', 'remeasure', 'remeasure_openings', 'remeasure_members']] | None]
    delivered: NotRequired[list[DeliveredBoards] | None]
    job: Job
