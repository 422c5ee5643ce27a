"""What should be said of a laid layer: small rips, frail legs, short parts, missing backing."""

from __future__ import annotations

from service.errors import Cure, Finding, Relaxed, Ticks
from service.geometry.rings import Polygon
from service.geometry.strips import cut_across
from service.layout.courses import Ranked
from service.layout.runs import Cutout, Laid, Run
from service.products.kind import Said, Task
from service.products.kinds.boarding.board import Board
from service.units.ticks import INCH, SIXTEENTH
from service.units.writing import both


def say_what_was_laid(
    task: Task, said: Said, laid: Laid, along_framing: bool, chosen: Ranked, board: Board
) -> None:
    """Every finding that the courses and runs of a layer give."""
    _rip(task, said, chosen, board)
    _features(task, said, chosen)
    _entry(task, said, laid, board)
    for cutout in laid.cutouts:
        _cutout(task, said, cutout, laid, board)
    _holes_on_joints(task, said, laid, board)
    _narrow_ends(task, said, laid)
    _dropped(task, said, laid)
    if along_framing:
        _along(task, said, laid)


def _rip(task: Task, said: Said, chosen: Ranked, board: Board) -> None:
    preferred = task.rules.get("preferred_rip", fallback=board.coverage // 2)
    smallest = chosen.smallest_rip
    least = task.rules.get("min_rip")
    if smallest is not None and smallest < least:
        said.relaxed.append(Relaxed("3.9", "min_rip", Ticks(least), Ticks(smallest), (task.at,)))
    if smallest is None or smallest >= preferred:
        return
    cure = Cure(f"{task.pointer}/start", "balanced") if task.layer.start is not None else None
    said.find(
        Finding(
            "rip-small",
            task.at,
            f"the smallest rip is {both(smallest)}; {both(preferred)} is preferred",
            rule="3.9",
            measure=smallest,
            limit=preferred,
            cure=cure if task.layer.start != "balanced" else None,
        )
    )


def _features(task: Task, said: Said, chosen: Ranked) -> None:
    tolerance = task.rules.get("feature_tolerance")
    for aim, miss in zip(task.layer.aim or (), chosen.misses, strict=False):
        if miss > tolerance:
            said.find(
                Finding(
                    "feature-missed",
                    task.at,
                    f"the {aim.on} wished at {both(aim.at)} is missed by {both(miss)}",
                    rule="3.7",
                    measure=miss,
                    limit=tolerance,
                )
            )


def _entry(task: Task, said: Said, laid: Laid, board: Board) -> None:
    """The last course must slide on over two tongues, or drop in with its back lip off (3.11)."""
    if not board.has_tongue or len(laid.courses) < 2:
        return
    bare = task.layer.edges == "bare"
    gap = task.rules.get("gap", "gap_bare" if bare else "gap_covered")
    needed = board.lap + SIXTEENTH
    if gap < needed:
        said.find(
            Finding(
                "last-course-drop-in",
                f"{task.at}.{len(laid.courses)}",
                "the last course cannot slide on: cut off the back lip of its groove, drop it in "
                "and face-nail it",
                rule="3.11",
                measure=gap,
                limit=needed,
            )
        )


def _cutout(task: Task, said: Said, cutout: Cutout, laid: Laid, board: Board) -> None:
    """Frail legs beside a hole, and holes too long for the piece around them (5.2)."""
    least = task.rules.get("min_leg")
    long = task.rules.get("long_hole")
    if cutout.effect == "hole" and cutout.high - cutout.low > long:
        said.find(
            Finding(
                "hole-long",
                f"{task.at}.{cutout.course}",
                f"opening {cutout.opening} is {both(cutout.high - cutout.low)} long inside one "
                f"board; over {both(long)} the board is frail there",
                rule="5.2",
                measure=cutout.high - cutout.low,
                limit=long,
            )
        )
    legs = [leg for leg in cutout.legs if 0 < leg < least]
    if cutout.effect == "cut_in_two" or not legs:
        return
    said.find(
        Finding(
            "leg-frail",
            f"{task.at}.{cutout.course}",
            f"beside opening {cutout.opening} a leg of {both(min(legs))} is left; under "
            f"{both(least)} it may split: cut it out under the trim, or move the courses",
            rule="5.2",
            measure=min(legs),
            limit=least,
        )
    )


def _holes_on_joints(task: Task, said: Said, laid: Laid, board: Board) -> None:
    """A hole that one board could hold but that falls on a joint between two (22.2)."""
    least = task.rules.get("min_leg")
    for opening in task.surface.openings:
        met = [one for one in laid.cutouts if one.opening == opening.id]
        courses = [laid.courses[one.course - 1] for one in met]
        if len(met) < 2 or any(one.effect == "cut_in_two" for one in met):
            continue
        low = min(c.low + one.legs[0] for c, one in zip(courses, met, strict=True))
        high = max(c.high - one.legs[1] for c, one in zip(courses, met, strict=True))
        if high - low + 2 * least <= board.coverage:
            said.find(_on_joint(task, opening.id, (low + high) // 2))


def _on_joint(task: Task, name: str, centre: int) -> Finding:
    """The finding; its cure centres a board on the hole, where the stations are those sent."""
    surface = task.surface
    plain = not surface.mirrored and surface.slope is None
    cure = Cure(f"{task.pointer}/aim", [{"at": Ticks(centre), "on": "centre"}]) if plain else None
    return Finding(
        "hole-on-joint",
        f"{surface.id}.{name}",
        f"opening {name} falls on the joint between two courses; one board could hold it whole "
        f"with its centre at {both(centre)}",
        rule="22.2",
        cure=cure,
    )


def _narrow_ends(task: Task, said: Said, laid: Laid) -> None:
    """Runs that taper: narrower than a rip may be, a board's width in from an end (3.8, 4.4)."""
    least = task.rules.get("min_rip")
    widths = [
        (_width_at(run.polygon, at), f"{task.at}.{run.course}.{run.number}")
        for run in laid.runs
        if not run.polygon.is_box
        for at in _near_ends(run, laid.courses[run.course - 1].face)
    ]
    narrow = sorted(one for one in widths if 0 < one[0] < least)
    if narrow:
        said.find(
            Finding(
                "end-narrow",
                narrow[0][1],
                f"{len(narrow)} ends taper to under {both(least)} within a board's width of the "
                f"end, the narrowest to {both(narrow[0][0])}: they cannot be nailed there",
                rule="4.4",
                measure=narrow[0][0],
                limit=least,
            )
        )


def _near_ends(run: Run, face: int) -> list[int]:
    """Stations one face in from each end; none on a run that is hardly longer."""
    return [] if run.high - run.low < 3 * face else [run.low + face, run.high - face]


def _width_at(polygon: Polygon, station: int) -> int:
    """How wide a run is at a station."""
    low, high = polygon.box[:2]
    if not low < station < high:
        return 0
    points = [p for part in cut_across(polygon, [station])[0] for p in part.outer]
    there = [v for u, v in points if u == station]
    return max(there) - min(there) if there else 0


def _dropped(task: Task, said: Said, laid: Laid) -> None:
    for polygon in laid.dropped:
        low, high, near, _ = polygon.box
        said.find(
            Finding(
                "run-dropped",
                task.at,
                f"a part {both(high - low)} long at station {both(low)}, {both(near)} across is "
                "too short to board: the trim covers it",
                rule="4.4",
                measure=high - low,
                limit=task.rules.get("min_run"),
            )
        )


def _along(task: Task, said: Said, laid: Laid) -> None:
    """Boards along the framing hang on the panel alone: always said (6.2, 15.2)."""
    spacing = task.rules.get("block_spacing")
    extent = max(run.high for run in laid.runs) + min(run.low for run in laid.runs)
    rows = -(-(extent - 3 * INCH // 2) // spacing) + 1
    said.find(
        Finding(
            "held-by-panel",
            task.at,
            f"the boards run with the framing: their fasteners hold in the backing's thickness "
            f"only, and the hold asked of framing is not met. Use ring shanks or screws and "
            f"follow the product's printed instruction; about {rows} rows of blocks or straps at "
            f"{both(spacing)} would be the stronger cure",
            rule="6.2",
        )
    )
