"""Pages of jobs as a crew has them, read back: words stand clear, and by what they are said of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest
from shapely.geometry import LineString, Polygon, box

from service.compute import SVG, Picked, answer
from service.demo import job_of
from tests.independent.plotted import Page, Text, overlapping, pages

JOBS = pytest.mark.parametrize("job", ["box_beams/coffers", "trim/deck"])
NAMED = re.compile(r"\d+\.1\.\d+")


@cache
def drawn(job: str) -> tuple[Page, ...]:
    outcome = answer(job_of(job).read_bytes(), Picked(SVG))
    return tuple(pages(outcome.body))


def sheets_of(job: str, words: str) -> list[Page]:
    """The pages on which some words stand."""
    return [page for page in drawn(job) if any(words in one.text for one in page.texts)]


@JOBS
def test_no_words_stand_on_each_other_nor_on_what_stands_behind(job: str) -> None:
    for page in drawn(job):
        assert overlapping(page.texts) == []
    (framed,) = sheets_of(job, "what must stand behind")
    heavy = [LineString(line) for line in framed.backing]
    assert heavy
    assert [
        one.text for one in framed.open if any(line.crosses(box(*one.box)) for line in heavy)
    ] == []


@JOBS
def test_a_piece_of_trim_is_named_nearest_to_itself(job: str) -> None:
    """Every piece has its name in the drawing, once, nearer to it than to any other piece.

    Where its length finds no room there, it stands over the drawing.
    """
    for page in sheets_of(job, "(trim)"):
        shapes = [Polygon(ring) for ring in page.pieces]
        top = min(y for rings in page.outlines for ring in rings for _, y in ring)
        inner = [one for one in page.open if NAMED.match(one.text) and one.y > top]
        named = [nearest(one, shapes) for one in inner]
        assert sorted(named) == list(range(len(shapes)))
        said = {name for one in page.open if ": " in one.text for name in listed_in(one.text)}
        bare = {one.text for one in inner if ":" not in one.text and not has_size(one, page)}
        assert bare <= said


def listed_in(text: str) -> Iterator[str]:
    """The names of which a text says the size: `2.1.1, 4.1.1 ... 48.1.1: 3' 10"` is of 24."""
    before: str | None = None
    for part in text.partition(": ")[0].split(", "):
        name, dots, last = part.partition(" ... ")
        yield name
        if dots and before is not None:
            first, second, end = (int(one.split(".")[0]) for one in (before, name, last))
            tail = last[len(str(end)) :]
            yield from (f"{k}{tail}" for k in range(2 * second - first, end + 1, second - first))
        before = name


def nearest(word: Text, shapes: list[Polygon]) -> int:
    middle = box(*word.box).centroid
    return min(range(len(shapes)), key=lambda k: shapes[k].distance(middle))


def has_size(word: Text, page: Page) -> bool:
    """Whether a length stands right under a name."""
    return any(
        one.x == word.x and 0 < one.y - word.y < 5 and one.text[0].isdigit() for one in page.open
    )


def test_every_bay_has_its_clear_size_in_it() -> None:
    """Twelve of (222 - 2 x 3-1/2 - 3 x 7-1/8) / 4 = 48-13/32 in; in two rows where one is wide."""
    (page,) = sheets_of("box_beams/coffers", "(box beams)")[:1]
    told = [one.text for one in page.open]
    assert told.count('48-13/32" x') == sum(text.startswith("bay ") for text in told) == 12
