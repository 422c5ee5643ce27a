"""Every room says what it is, every public name of the core says what it gives, names are plain."""

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SERVICE = ROOT / "service"
VISIBLE = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "service",
    "openapi",
    "tests",
    "docker",
    "LICENSE",
    "Makefile",
}
CORE = (
    "errors.py",
    "units",
    "standards",
    "geometry",
    "moisture",
    "solver",
    "layout",
    "cutting",
    "joints",
    "fastening",
    "order",
    "ledger",
    "takeoff",
)
WITHOUT_CODE = {"decisions", "assets", "tables", "examples", "reference"}
LONGEST = 320
LONGER: dict[str, str] = {}
"""Modules over `LONGEST` lines, each with the reason why it is one."""
VAGUE = {"manager", "helper", "util", "utils", "handler", "processor"}

MODULES = sorted(SERVICE.rglob("*.py"))
FOLDERS = sorted(
    path for path in SERVICE.rglob("*") if path.is_dir() and path.name != "__pycache__"
)


def tree(module: Path) -> ast.Module:
    return ast.parse(module.read_text(encoding="utf-8"))


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def core_modules() -> list[Path]:
    return [m for m in MODULES if m.relative_to(SERVICE).parts[0] in CORE]


def public(body: list[ast.stmt], prefix: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Public functions and classes with their qualified names, methods of classes included."""
    for node in body:
        if not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue
        if node.name.startswith("_"):
            continue
        yield prefix + node.name, node
        if isinstance(node, ast.ClassDef):
            yield from public(node.body, f"{prefix}{node.name}.")


def test_the_visible_top_level_is_the_agreed_one() -> None:
    assert {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} == VISIBLE


def test_the_core_is_all_there() -> None:
    assert [room for room in CORE if not (SERVICE / room).exists()] == []


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_every_folder_says_what_it_is(folder: Path) -> None:
    if folder.name in WITHOUT_CODE and not (folder / "__init__.py").exists():
        assert not list(folder.glob("*.py"))
        return
    words = ast.get_docstring(tree(folder / "__init__.py"))
    assert words, f"{name_of(folder)}/__init__.py has no docstring"
    assert len(words.split()) >= 5


@pytest.mark.parametrize("folder", FOLDERS, ids=name_of)
def test_what_a_folder_sends_one_to_is_there(folder: Path) -> None:
    """A package of many modules says where to begin; what it names is a module or folder of it."""
    if not (folder / "__init__.py").exists():
        return
    words = ast.get_docstring(tree(folder / "__init__.py")) or ""
    named = set(re.findall(r"`([a-z][a-z_]*)/?`", words))
    there = {path.stem for path in folder.iterdir()}
    assert named <= there, f"{name_of(folder)}/__init__.py names {sorted(named - there)}"


@pytest.mark.parametrize("module", core_modules(), ids=name_of)
def test_every_public_name_of_the_core_says_what_it_gives(module: Path) -> None:
    silent = [name for name, node in public(tree(module).body) if not ast.get_docstring(node)]
    assert silent == []


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_modules_stay_short(module: Path) -> None:
    lines = len(module.read_text(encoding="utf-8").splitlines())
    assert lines <= LONGEST or LONGER.get(name_of(module)), f"{lines} lines"


def test_the_list_of_longer_modules_is_up_to_date() -> None:
    short = [
        name
        for name in LONGER
        if len((ROOT / name).read_text(encoding="utf-8").splitlines()) <= LONGEST
    ]
    assert short == []


def given_names(module: Path) -> Iterator[str]:
    """Every name that a module gives: its own, functions, classes, arguments, what is assigned."""
    yield module.stem
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id
        elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
            yield node.attr


def words_of(name: str) -> set[str]:
    """The words of a snake_case or CamelCase name."""
    return {word.lower() for word in re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+", name)}


def test_names_are_split_into_words() -> None:
    assert words_of("_DrawnPiece_of_XMLHandler") == {"drawn", "piece", "of", "xml", "handler"}


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_no_name_is_vague(module: Path) -> None:
    vague = sorted({name for name in given_names(module) if words_of(name) & VAGUE})
    assert vague == []
    assert not VAGUE & set(module.relative_to(SERVICE).parts)


SWITCHED_OFF = re.compile(r"# (noqa|type: ignore)")
REASON = re.compile(r"# (noqa: [A-Z]+[0-9]+ - |type: ignore\[[a-z-]+\]  # )\w+")


@pytest.mark.parametrize("part", ["service", "openapi", "tests"])
def test_what_is_switched_off_has_its_reason_beside_it(part: str) -> None:
    """In a comment of code; the texts of this file do not count."""
    silent = [
        f"{name_of(module)}: {token.string}"
        for module in sorted((ROOT / part).rglob("*.py"))
        for token in tokenize.generate_tokens(io.StringIO(module.read_text("utf-8")).readline)
        if token.type == tokenize.COMMENT
        and SWITCHED_OFF.match(token.string)
        and not REASON.match(token.string)
    ]
    assert silent == []


def test_lints_that_are_left_out_have_their_reason_beside_them() -> None:
    """Every line of pyproject.toml that leaves out a rule of the linter says why."""
    text = (ROOT / "pyproject.toml").read_text("utf-8")
    style = text[text.index("[tool.ruff.lint]\nselect") : text.index("[tool.ruff.lint.isort]")]
    lines = [line for line in style.splitlines()[2:] if re.search(r'"[A-Z]+[0-9]+"|= \["', line)]
    assert len(lines) > 8
    assert [line for line in lines if not re.search(r"# \S", line)] == []
