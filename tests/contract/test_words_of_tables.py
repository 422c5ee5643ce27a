"""The words that a column may hold are those that its description lists."""

from __future__ import annotations

import json
import re
from typing import Any

import jsonschema_rs
import pytest

from service.app import OPENAPI
from service.compute import JSON
from service.products.rows import FastenerRow, JointRow
from service.schemas.published import model_of
from tests.digests.__main__ import digests

pytestmark = pytest.mark.xdist_group("digests")  # the answers are computed once

PLACES = {"boarding": "Boards", "sheathing": "Sheets", "strapping": "Straps", "wrap": "Wrap"}
"""What the kinds are called where `where` is described."""


@pytest.fixture(scope="module")
def answers() -> list[dict[str, Any]]:
    """Answers to the examples, and to drawn jobs of several layers."""
    kinds, every = digests()
    names = [name for name in every if name.startswith(("example", "layers")) and JSON in name]
    found = [json.loads(every[name]) for name in names if kinds[name].startswith("answer")]
    assert len(found) > 8
    return found


def kinds(found: dict[str, Any]) -> dict[tuple[str, str], str]:
    return {(row["surface"], row["layer"]): row["kind"] for row in found["layers"]}


def listed(text: str) -> set[str]:
    text = re.sub(r" \([^)]*\)", "", text)  # what is said of a word
    return {word.strip() for word in re.split(r"[,:.]| or of a roll's pieces | of a beam ", text)}


def test_every_answer_is_as_the_document_says(answers: list[dict[str, Any]]) -> None:
    """Words of closed lists among the rest."""
    document = json.loads((OPENAPI / "openapi.json").read_bytes())
    schema = {"$ref": "#/components/schemas/Answer", "components": document["components"]}
    sound = jsonschema_rs.Draft202012Validator(schema)
    assert [str(fault) for found in answers for fault in sound.iter_errors(found)] == []


def test_what_a_joint_lands_on(answers: list[dict[str, Any]]) -> None:
    words = listed(model_of(JointRow).model_fields["on"].description or "")
    sent = {row["on"] for found in answers for row in found["joints"]}
    assert {"framing", "sheathing"} <= sent <= words


def test_where_fasteners_are(answers: list[dict[str, Any]]) -> None:
    """Kind by kind, for the kinds whose words are told."""
    text = model_of(FastenerRow).model_fields["where"].description or ""
    of_any = listed(re.findall(r"Of any: ([^.]*)\.", text)[0])
    words = {
        kind: of_any | listed(re.findall(rf"{name}: ([^.]*)\.", text)[0])
        for kind, name in PLACES.items()
    }
    sent: dict[str, set[str]] = {kind: set() for kind in PLACES}
    for found in answers:
        of = kinds(found)
        for row in found["fasteners"]:
            sent.setdefault(of[row["surface"], row["layer"]], set()).add(row["where"])
    for kind, told in words.items():
        assert len(sent[kind]) > 1, kind
        assert sent[kind] <= told, kind
