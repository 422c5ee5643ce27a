"""The report asks for no kind and no form by name: they give it their own words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.products.nouns import BLANKS, DECIDE, USUAL, LayerNouns, Nouns
from service.products.registry import all_kinds, forms, nouns
from service.report.printout.first_work import known
from service.report.printout.lengths import Lengths
from tests.property.test_cures import CURABLE
from tests.unit.printed_answers import answer as printed_answer

REPORT = Path(__file__).parents[2] / "service" / "report"
MODULES = sorted(REPORT.rglob("*.py"))


def names_in(source: str, sought: set[str]) -> Iterator[str]:
    """The names that stand as strings of their own in a module."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and node.value in sought:
            yield str(node.value)


def names() -> set[str]:
    return {*all_kinds(), *forms()}


@pytest.mark.parametrize("module", MODULES, ids=lambda one: one.relative_to(REPORT).as_posix())
def test_no_kind_and_no_form_is_named(module: Path) -> None:
    assert sorted(names_in(module.read_text(encoding="utf-8"), names())) == []


def test_a_name_that_is_asked_for_is_found() -> None:
    for source in ("form == 'roll'", "{'roll': 1}", "match form:\n    case 'roll': pass"):
        assert list(names_in(source, {"roll"})) == ["roll"]
    assert list(names_in("'a roll of wrap'", {"roll"})) == []


def test_every_kind_and_every_form_has_its_words() -> None:
    told: Nouns = nouns()
    assert set(told.kinds) == set(all_kinds())
    assert set(told.forms) == set(forms())
    assert all(re.fullmatch(r"[a-z ]+", kind.course) for kind in told.kinds.values())
    assert all(re.fullmatch(r"[a-z ]+", form.piece) for form in told.forms.values())


def test_the_printout_fills_every_blank_and_no_other_may_be_left() -> None:
    answer = printed_answer()
    names = "joist", "down the wall"
    facts = known(answer["layers"][0], answer["courses"], answer["pieces"], names, Lengths("in"))
    assert set(facts) == set(BLANKS)
    assert all(facts.values())
    with pytest.raises(ValueError, match="no blank is called colour"):
        LayerNouns(begin=("Paint it {colour}.",))


def test_findings_are_ranked_by_codes_that_there_are_and_by_one_rank_each() -> None:
    """A code that nothing tells would rank nothing; one in both ranks would say two things."""
    ranked = [*DECIDE, *USUAL]
    ranked += [code for kind in nouns().kinds.values() for code in (*kind.decide, *kind.usual)]
    assert len(set(ranked)) == len(ranked)
    assert sorted(set(ranked) - set(CURABLE)) == []


def test_each_form_has_a_place_of_its_own_in_an_order() -> None:
    places = [form.picked for form in nouns().forms.values()]
    assert len(set(places)) == len(places)
