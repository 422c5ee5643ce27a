"""Every kind of layer brings all its parts, and the registry finds it by its folder."""

import tomllib
from pathlib import Path

import pytest

from service.products import kinds, registry
from tests.strategies.kinds import FOLDERS, layers_of, request_of

OURS = Path(str(kinds.__file__)).parent
PARTS = ("__init__.py", "NOTES.md")
MODULES = ("spec", "records", "laying", "findings", "fastening", "drawing", "laws")
"""Of the service's own kinds, which are large: what is alike in them has the same place in each,
a module or a folder of them."""
KINDS_OF_FILES = (("tables", "*.toml"), ("examples", "*.json"), ("reference", "*.toml"))


def name_of(folder: Path) -> str:
    return folder.name


def rule_keys(kind: str) -> set[str]:
    """The keys of all rules of the kind, with those of the stock that it takes."""
    return set(getattr(registry.all_kinds()[kind].rules, "model_fields", ()))


def test_there_is_a_kind() -> None:
    assert FOLDERS


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_a_kind_has_all_its_parts(folder: Path) -> None:
    assert [part for part in PARTS if not (folder / part).is_file()] == []
    modules = MODULES if folder.parent == OURS else ()
    there = {path.stem for path in folder.iterdir()}
    assert [module for module in modules if module not in there] == []
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
    assert sorted(registry.names()) == sorted(folder.name for folder in FOLDERS)
