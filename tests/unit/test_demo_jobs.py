"""The jobs that the demo takes off by name."""

import json

import pytest

from service.compute import Picked, answer
from service.demo import JOB, job_of


def test_without_a_name_it_is_the_porch() -> None:
    assert job_of(None) == JOB


def test_a_coffered_ceiling_has_a_name() -> None:
    job = json.loads(job_of("coffers").read_text(encoding="utf-8"))
    assert "box_beams" in {layer["kind"] for area in job["surfaces"] for layer in area["layers"]}


def test_a_soffit_round_a_corner_has_a_name() -> None:
    job = json.loads(job_of("soffit").read_text(encoding="utf-8"))
    assert {area["type"] for area in job["surfaces"]} == {"soffit"}
    assert all(layer["from_edge"] for area in job["surfaces"] for layer in area["layers"][:1])


def test_a_wainscot_round_corners_has_a_name() -> None:
    job = json.loads(job_of("wainscot").read_text(encoding="utf-8"))
    assert {area["type"] for area in job["surfaces"]} == {"wall"}


def test_a_change_has_a_name() -> None:
    """A hatch that grows in a porch ceiling of panel, wrap and boards, everything up."""
    request = json.loads(job_of("change").read_text(encoding="utf-8"))
    assert request["installed"] == "everything"
    made = json.loads(answer(job_of("change").read_bytes(), Picked(operation="changes")).body)
    assert {row["do"] for row in made["pieces"]} == {"keep", "remove", "recut", "add"}


def test_a_name_that_is_not_there_tells_which_are() -> None:
    with pytest.raises(
        SystemExit, match=r"there is no job nix; there are .*boarding/porch, .*box_beams/coffers"
    ):
        job_of("nix")


def test_a_name_of_two_kinds_is_told_apart_by_the_kind() -> None:
    assert job_of("box_beams/coffers") == job_of("coffers")
