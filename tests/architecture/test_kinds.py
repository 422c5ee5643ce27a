"""Every kind of layer brings all its parts, and the registry finds it by its folder."""

import importlib
import tomllib
from pathlib import Path

import pytest
from pydantic import BaseModel

from service.products import registry
from tests.strategies.kinds import FOLDERS, layers_of, request_of

PARTS = ("__init__.py", "spec.py", "laying.py", "fastening.py", "NOTES.md")
KINDS_OF_FILES = (("tables", "*.toml"), ("examples", "*.json"), ("reference", "*.toml"))


def name_of(folder: Path) -> str:
    return folder.name


def rule_keys(kind: str) -> set[str]:
    """The keys of all models named ...Rules in the kind's spec."""
    spec = importlib.import_module(f"service.products.kinds.{kind}.spec")
    models = [
        model
        for name, model in vars(spec).items()
        if name.endswith("Rules") and isinstance(model, type) and issubclass(model, BaseModel)
    ]
    return {key for model in models for key in model.model_fields}


def test_there_is_a_kind() -> None:
    assert FOLDERS


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_kind_has_all_its_parts(folder: Path) -> None:
    assert [part for part in PARTS if not (folder / part).is_file()] == []
    assert [
        sort for sort, pattern in KINDS_OF_FILES if not list((folder / sort).glob(pattern))
    ] == []


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_tables_and_reference_cases_can_be_read(folder: Path) -> None:
    for sort in ("tables", "reference"):
        for file in (folder / sort).glob("*.toml"):
            assert tomllib.loads(file.read_text(encoding="utf-8")), file


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_examples_use_the_kind(folder: Path) -> None:
    for file in (folder / "examples").glob("*.json"):
        assert folder.name in {layer["kind"] for _, layer in layers_of(request_of(file))}, file


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_notes_name_every_rule_that_can_be_set(folder: Path) -> None:
    notes = (folder / "NOTES.md").read_text(encoding="utf-8")
    keys = rule_keys(folder.name)
    assert keys
    assert sorted(key for key in keys if f"`{key}`" not in notes) == []


def test_the_registry_finds_every_folder() -> None:
    assert sorted(registry.names()) == [folder.name for folder in FOLDERS]
