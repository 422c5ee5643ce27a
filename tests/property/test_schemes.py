"""Ways of sharing a width among courses, against the sums that each of them promises.

Lengths are in 1/64 in, the least width that counts, and in ticks where one more or less decides.
The rules 3.2 to 3.15 are common practice.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Literal

from hypothesis import example, given
from hypothesis import strategies as st

from service.layout.courses import (
    CourseBand,
    Feature,
    Scheme,
    Widths,
    aimed,
    balanced,
    balanced_narrow,
    equal,
    from_line,
    full_first,
    schemes,
)
from service.layout.ranking import Edges, Limits, Ranked, ranked
from service.units.ticks import INCH, SIXTY_FOURTH
from service.units.writing import inches
from tests.strategies.budget import examples

MANY = examples(200)
"""No answer is computed here, so many examples cost little."""

NETS = st.integers(1, 200 * 64).map(lambda n: n * SIXTY_FOURTH) | st.integers(1, 40 * INCH)
COVERAGES = st.integers(100, 500).map(lambda n: n * SIXTY_FOURTH)
SPACERS = st.sampled_from([0, 0, 4 * SIXTY_FOURTH, 8 * SIXTY_FOURTH + 1])


@st.composite
def widths(draw: st.DrawFn) -> Widths:
    """Any width; sometimes a whole number of courses, or 1/64 in and a tick more or less."""
    coverage, spacer = draw(COVERAGES), draw(SPACERS)
    near = st.builds(
        lambda count, off: max(1, count * (coverage + spacer) - spacer + off),
        st.integers(1, 12),
        st.sampled_from([-SIXTY_FOURTH - 1, -SIXTY_FOURTH, -1, 0, 1, SIXTY_FOURTH,
                         SIXTY_FOURTH + 1, 2 * SIXTY_FOURTH - 1, 2 * SIXTY_FOURTH]),
    )  # fmt: skip
    groove = draw(st.sampled_from([0, 0, 16 * SIXTY_FOURTH]))
    return Widths(draw(NETS | near), coverage, spacer, groove)


def check(own: Widths, scheme: Scheme) -> None:
    """Courses from edge to edge with the open joint between, whole ones but for first and last."""
    strips, module = scheme.strips, own.coverage + scheme.spacer
    assert strips[0].near == scheme.first_gap >= 0
    assert (scheme.first, scheme.last) == (strips[0].far - strips[0].near, strips[-1].face)
    for one, after in pairwise(strips):
        assert after.near == one.far + scheme.spacer
        assert after is strips[-1] or after.far - after.near == own.coverage
    end = strips[-1].far
    if end != own.net:
        # What is left open is a sliver or what the spacer takes; what sticks out, 1/64 in at most.
        assert -SIXTY_FOURTH <= own.net - end <= scheme.spacer + SIXTY_FOURTH
    for strip in strips:
        assert 0 < strip.face <= max(own.coverage, own.net if len(strips) == 1 else 0)
        whole = strip.face == own.coverage
        assert (strip.rip == "none") == whole or strip.rip == "both"
    assert all(strip.rip in ("none", "end") for strip in strips[1:])
    assert strips[0].rip in ("none", "start", "both")
    assert module * (len(strips) - 2) < own.net


@MANY
@given(own=widths())
def test_a_whole_first_course_and_the_rest_last(own: Widths) -> None:
    """Ripped by its groove where that would show (3.2, 3.10); one course takes all (3.5)."""
    scheme = full_first(own)
    if own.net < own.coverage:
        assert scheme.strips == (CourseBand(0, own.net, "both"),)
        return
    check(own, scheme)
    assert scheme.first == own.coverage - own.groove


@MANY
@given(own=widths())
@example(Widths(40 * INCH, 4 * INCH))
@example(Widths(40 * INCH + 2 * SIXTY_FOURTH, 4 * INCH))
@example(Widths(40 * INCH, 4 * INCH, 0, INCH // 4))
@example(Widths(40 * INCH - 1, 4 * INCH, 0, INCH // 4))
@example(Widths(40 * INCH - SIXTY_FOURTH - 1, 4 * INCH, 0, INCH // 4))
def test_first_and_last_alike(own: Widths) -> None:
    """Balanced: alike and at least half a board (3.3); narrow: alike, under half (3.4)."""
    scheme, narrow = balanced(own), balanced_narrow(own)
    module = own.coverage + own.spacer
    rest = own.net - (own.net + own.spacer) // module * module
    if own.net < own.coverage:
        assert scheme.strips == (CourseBand(0, own.net, "both"),)
        assert narrow is None
        return
    check(own, scheme)
    off = abs(scheme.first - scheme.last)
    is_near = min(rest, own.coverage - rest) <= SIXTY_FOURTH
    # A last course that lacks no more than 1/64 in of a whole one is taken whole.
    assert off <= 1 or is_near or (scheme.last == own.coverage and off <= SIXTY_FOURTH + 1)
    assert own.groove or not is_near or scheme.first == own.coverage
    assert scheme.first == own.coverage or own.groove or 2 * scheme.first >= own.coverage
    if own.groove and own.coverage - rest <= SIXTY_FOURTH:
        # Nearly whole courses, of which the first must lose its groove: one less, two narrow ones.
        assert scheme.first == (rest - own.spacer) // 2
    assert (narrow is None) == ((rest - own.spacer) // 2 <= SIXTY_FOURTH)
    if narrow is not None:
        check(own, narrow)
        assert narrow.first == (rest - own.spacer) // 2
        assert 2 * narrow.first < own.coverage
        assert abs(narrow.first - narrow.last) <= 1 or own.spacer


@MANY
@given(own=widths())
@example(Widths(40 * INCH, 4 * INCH))
@example(Widths(40 * INCH + 1, 4 * INCH))
def test_equal_exposures_are_as_few_as_can_be(own: Widths) -> None:
    """None over the coverage, none a tick wider than another (3.15)."""
    faces = [strip.face for strip in equal(own).strips]
    assert sum(faces) == own.net
    assert max(faces) - min(faces) <= 1
    assert max(faces) <= own.coverage
    assert (len(faces) - 1) * own.coverage < own.net
    assert {strip.rip for strip in equal(own).strips} == {"none"}
    assert (equal(own).spacer, equal(own).first_gap) == (0, 0)


FEATURES = st.builds(
    Feature,
    st.integers(0, 60 * 64).map(lambda n: n * SIXTY_FOURTH),
    st.sampled_from(["joint", "centre"]),
)


def places(scheme: Scheme, on: Literal["joint", "centre"]) -> list[float]:
    """Middles of the open joints, or of the courses."""
    if on == "centre":
        return [(strip.near + strip.far) / 2 for strip in scheme.strips]
    return [(a.far + b.near) / 2 for a, b in pairwise(scheme.strips)]


@MANY
@given(own=widths(), feature=FEATURES, shift=st.integers(-INCH, INCH))
@example(Widths(40 * INCH, 4 * INCH), Feature(20 * INCH, "joint"), 0)
@example(Widths(40 * INCH, 4 * INCH, 0, INCH), Feature(20 * INCH, "joint"), 0)
@example(Widths(40 * INCH, 4 * INCH, INCH // 4), Feature(20 * INCH, "centre"), 0)
def test_an_aim_has_its_joint_or_centre_there(own: Widths, feature: Feature, shift: int) -> None:
    """Within a tick and what a sliver takes, where whole courses lie round it (3.6)."""
    scheme = aimed(own, feature, shift)
    if len(scheme.strips) == 1 and scheme.strips[0].rip == "both":
        assert scheme.strips == (CourseBand(0, own.net, "both"),)
        return
    check(own, scheme)
    at, reach = feature.at + shift, own.coverage + own.spacer
    if reach <= at <= own.net - 2 * reach:
        miss = min(abs(place - at) for place in places(scheme, feature.on))
        assert miss <= 1 + SIXTY_FOURTH * (scheme.first >= own.coverage - own.groove)


@MANY
@given(own=widths(), one=FEATURES, two=FEATURES, spacer_max=st.sampled_from([0, 8, 40]))
@example(Widths(60 * INCH, 4 * INCH), Feature(10 * INCH, "joint"), Feature(31 * INCH, "joint"), 20)
@example(Widths(60 * INCH, 4 * INCH), Feature(10 * INCH, "centre"), Feature(31 * INCH, "joint"), 40)
def test_two_features_share_the_miss_or_are_both_met(
    own: Widths, one: Feature, two: Feature, spacer_max: int
) -> None:
    """The plain ways are there; one splits the miss, one spreads the joints if it may (3.7)."""
    most = spacer_max * SIXTY_FOURTH
    found = schemes(own, [one, two], most)
    one, two = sorted((one, two), key=lambda feature: (feature.at, feature.on))
    assert found[:2] == [balanced(own), full_first(own)]
    assert found[2:4] == [aimed(own, one), aimed(own, two)]
    narrow = balanced_narrow(own)
    assert (found[-1] == narrow) == (narrow is not None)
    for scheme in found:
        assert scheme.spacer == own.spacer or 0 <= scheme.spacer <= most
    apart = two.at - one.at
    apart += (own.coverage // 2) * ((two.on == "centre") - (one.on == "centre"))
    courses = round(apart / own.module)
    split = [found[4], aimed(own, one, (apart - courses * own.module) // 2)]
    halves = abs(apart / own.module - courses) == 0.5
    assert split[0] == split[1] or halves
    spread = [s for s in found[5:] if s != narrow]
    if courses >= 1 and not halves and 0 <= apart // courses - own.coverage <= most:
        assert spread or found[5:] == [narrow]
        assert all(scheme.spacer == apart // courses - own.coverage for scheme in spread)
    elif not halves:
        assert spread == []


@examples(200)
@given(
    own=widths(), data=st.data(), phase=st.integers(0, 6 * INCH), count=st.integers(2, 5),
    tolerance=st.sampled_from([INCH // 16, INCH // 8]),
)  # fmt: skip
def test_features_that_some_start_meets_are_all_met_in_whatever_order(
    own: Widths, data: st.DataObject, phase: int, count: int, tolerance: int
) -> None:
    """They lie on the grid of one start, each off it by no more than the tolerance (3.7).

    But for the 1/64 in that a first course may give at its edge (3.1).
    """
    own = replace(own, net=max(own.net, 12 * own.module), spacer=0, groove=0)
    steps = data.draw(st.lists(st.integers(2, 9), min_size=count, max_size=count))
    most = tolerance - SIXTY_FOURTH - 4
    off = st.integers(-most, most)
    features = [
        Feature(phase % own.module + step * own.module + data.draw(off)
                - (own.coverage // 2 if on == "centre" else 0), on)
        for step in steps
        for on in [data.draw(st.sampled_from(["joint", "centre"]))]
    ]  # fmt: skip
    limits = Limits(0, 0, tolerance)
    best = ranked(schemes(own, features, 0), features, Edges(), limits)[0]
    assert max(best.misses) <= tolerance
    turned = data.draw(st.permutations(features))
    assert schemes(own, turned, INCH // 16) == schemes(own, features, INCH // 16)


@examples(100)
@given(own=widths(), data=st.data(), count=st.integers(2, 5))
def test_of_features_that_no_start_meets_the_largest_miss_is_the_least(
    own: Widths, data: st.DataObject, count: int
) -> None:
    """No start line, of a hundred over a course, has a lesser one (3.7).

    But for the 1/64 in that a first course may give at its edge (3.1), and ticks of halving.
    """
    own = replace(own, net=max(own.net, 12 * own.module), spacer=0, groove=0)
    places = st.integers(2 * own.module, own.net - 3 * own.module)
    features = [
        Feature(data.draw(places), data.draw(st.sampled_from(["joint", "centre"])))
        for _ in range(count)
    ]
    best = ranked(schemes(own, features, 0), features, Edges(), Limits(0, 0, 0))[0]
    lines = [k * own.module // 100 for k in range(100)]
    others = ranked([from_line(own, line, "slid") for line in lines], features, Edges(),
                    Limits(0, 0, 0))  # fmt: skip
    least = min(max(one.misses) for one in others)
    assert max(best.misses) <= max(least, SIXTY_FOURTH) + SIXTY_FOURTH + 4


def judged(scheme: Scheme, features: list[Feature], edges: Edges, limits: Limits) -> Ranked:
    """Smallest rip and misses by their definition; words are looked at by themselves."""
    rips = [s.far - s.near for s in scheme.strips if s.rip != "none"]
    for s in scheme.strips:
        inside = range(s.near + SIXTY_FOURTH + 1, s.far - SIXTY_FOURTH)  # what is less is no rip
        rips += [s.far - at for at in edges.near_side if at in inside]
        rips += [at - s.near for at in edges.far_side if at in inside]
    misses = tuple(
        min((abs(int(place // 1) - f.at) for place in places(scheme, f.on)), default=f.at)
        for f in features
    )
    least = min(rips) if rips else None
    return Ranked(scheme, least, misses, least is not None and least < limits.hard, "")


@MANY
@given(own=widths(), features=st.lists(FEATURES, max_size=2),
       edges=st.builds(Edges, *[st.lists(st.integers(0, 40 * INCH), max_size=2).map(tuple)] * 2),
       hard=st.integers(0, 100), preferred=st.integers(100, 300),
       tolerance=st.integers(0, 64))  # fmt: skip
@example(Widths(41 * INCH, 4 * INCH), [], Edges((4 * INCH,), (8 * INCH,)), 32, 128, 8)
def test_the_order_of_choice(
    own: Widths, features: list[Feature], edges: Edges, hard: int, preferred: int, tolerance: int
) -> None:
    """None too narrow, the least great miss, few missed, wide rips, few courses (3.7, 3.9)."""
    limits = Limits(*(n * SIXTY_FOURTH for n in (preferred, hard, tolerance)))
    found = schemes(own, features, 0)
    order = ranked(found, features, edges, limits)
    assert {one.scheme.strips for one in order} == {scheme.strips for scheme in found}
    assert len(order) == len({scheme.strips for scheme in found})
    for one in order:
        assert one.scheme == next(s for s in found if s.strips == one.scheme.strips)
        own_judged = judged(one.scheme, features, edges, limits)
        assert own_judged == Ranked(one.scheme, one.smallest_rip, one.misses, one.fails, "")
        _check_words(one, limits)
    for one, after in pairwise(order):
        assert _choice(one, limits) <= _choice(after, limits)


def _choice(one: Ranked, limits: Limits) -> tuple[bool, int, int, float, int]:
    over = [miss for miss in one.misses if miss > limits.tolerance]
    rip = 8 * limits.preferred if one.smallest_rip is None else one.smallest_rip
    return one.fails, max([0, *over]), len(over), -rip, len(one.scheme.strips)


def _check_words(one: Ranked, limits: Limits) -> None:
    rip = one.smallest_rip
    assert ("no rip" in one.why) == (rip is None)
    assert rip is None or f"smallest rip {inches(rip)}" in one.why
    assert ("under the least" in one.why) == one.fails
    is_narrow = rip is not None and limits.hard <= rip < limits.preferred
    assert ("under the preferred" in one.why) == is_narrow
    assert ("misses the features" in one.why) == bool(one.misses)
    assert not one.misses or f"by at most {inches(max(one.misses), 64)}" in one.why
    assert one.why.endswith(f"{len(one.scheme.strips)} courses")
