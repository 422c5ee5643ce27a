"""Every requirement of every package of a lock is met by a line of it, wherever it is installed.

The locks are installed with `--no-deps`, so a line that is missing is missed only when something
imports it. Here it is looked for: from what pyproject.toml asks for, through what each package asks
for, extras and markers included (PEP 508), on each Python, system and machine.
"""

from __future__ import annotations

import re
from dataclasses import replace
from importlib.metadata import distributions

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.locks.reading import DOCKER, ROOT, Package, Pin, packages, pins, roots
from tests.locks.walking import Environment, environments, faults

ROOTS = roots()
LOCKS = {name: pins((DOCKER / name).read_text(encoding="utf-8")) for name in ROOTS}
PACKAGES = packages()
EVERYWHERE = list(environments())
HERE, WINDOWS = EVERYWHERE[0], EVERYWHERE[4]


def place(where: Environment) -> str:
    return "-".join(where[key] for key in ("python_version", "sys_platform", "platform_machine"))


@pytest.mark.parametrize("where", EVERYWHERE, ids=place)
@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_names_all_that_is_asked_for_and_nothing_else(lock: str, where: Environment) -> None:
    assert faults(LOCKS[lock], ROOTS[lock], PACKAGES, where) == []


def test_every_lock_is_walked_from_what_make_lock_resolves() -> None:
    """Its extras and groups in the Makefile are those that the walk begins with."""
    assert set(ROOTS) == {path.name for path in DOCKER.glob("*.lock")}
    made = re.sub(r" \\\n\s*", " ", (ROOT / "Makefile").read_text(encoding="utf-8"))
    lines = re.findall(r"\t\$\(PIN\) (.*)--output-file docker/(\S+)", made)
    asked = {
        lock: re.findall(r"pyproject\.toml|--(?:extra|group) \w+", line) for line, lock in lines
    }
    assert asked == {
        "requirements.lock": ["pyproject.toml"],
        "requirements-dev.lock": ["pyproject.toml", "--group dev"],
        "requirements-traces.lock": ["pyproject.toml", "--extra traces"],
        "requirements-bulk.lock": ["pyproject.toml", "--extra bulk"],
        "requirements-manifests.lock": ["--group manifests"],
        "requirements-callers.lock": ["--group callers"],
        "requirements-audit.lock": ["--group audit"],
    }


def test_what_packages_ask_for_is_written_for_every_pin_and_no_other() -> None:
    assert set(PACKAGES) == {(pin.name, pin.version) for lock in LOCKS.values() for pin in lock}
    assert all(lock for lock in LOCKS.values())


def test_what_is_written_is_what_the_installed_packages_ask_for() -> None:
    """As far as they are installed: those of the run and dev locks."""
    compared = 0
    for one in distributions():
        key = canonicalize_name(one.metadata["Name"]), Version(one.version)
        if key in PACKAGES:
            assert sorted(map(str, map(Requirement, one.requires or []))) == sorted(
                map(str, PACKAGES[key].requires)
            ), key
            compared += 1
    assert compared >= len(LOCKS["requirements.lock"])


# The checker itself, on locks that are broken on purpose.


@pytest.mark.parametrize("lock", LOCKS)
def test_no_line_can_be_left_out(lock: str) -> None:
    """Each line in its turn, those of extras and of other systems too."""
    for gone in LOCKS[lock]:
        rest = [pin for pin in LOCKS[lock] if pin is not gone]
        told = (faults(rest, ROOTS[lock], PACKAGES, where) for where in EVERYWHERE)
        assert any(any("no line" in one for one in found) for found in told), gone.name


def changed(lock: str, name: str, **how: object) -> list[Pin]:
    """A lock with one line changed."""
    assert name in {pin.name for pin in LOCKS[lock]}
    return [replace(pin, **how) if pin.name == name else pin for pin in LOCKS[lock]]


def test_a_marker_that_is_dropped_added_or_wrong_is_told() -> None:
    dev = "requirements-dev.lock"
    plain = changed(dev, "colorama", marker=None)
    assert faults(plain, ROOTS[dev], PACKAGES, HERE) == ["nothing asks for colorama"]
    assert faults(plain, ROOTS[dev], PACKAGES, WINDOWS) == []
    wrong = changed(dev, "colorama", marker=Marker("sys_platform == 'darwin'"))
    assert any("colorama" in one for one in faults(wrong, ROOTS[dev], PACKAGES, WINDOWS))
    added = changed(dev, "pydantic-core", marker=Marker("python_version < '3.12'"))
    assert faults(added, ROOTS[dev], PACKAGES, HERE) == []
    (told,) = faults(added, ROOTS[dev], PACKAGES, EVERYWHERE[-1])
    assert told.startswith("pydantic asks for pydantic-core")


def test_a_version_that_does_not_fit_is_told() -> None:
    run = "requirements.lock"
    old = changed(run, "pydantic-core", version=Version("2.0"))
    (told, unknown) = faults(old, ROOTS[run], PACKAGES, HERE)
    assert "2.0 does not fit" in told
    assert unknown == "pydantic-core 2.0 is not in requires.json: make lock"


def pin(name: str) -> Pin:
    return Pin(name, Version("1"), None, "")


def test_extras_are_walked_as_the_package_writes_them() -> None:
    """An extra that asks for another, in another spelling, and one that nobody asked for."""
    written = {
        "outer": ["inner[Fast_Path]"],
        "inner": ["quick; extra == 'fast-path'", "inner[more]; extra == 'fast-path'",
                  "further; extra == 'more'", "unwanted; extra == 'other'"],
        "quick": [], "further": [],
    }  # fmt: skip
    own = {
        (name, Version("1")): Package(SpecifierSet(">=3.11"), tuple(map(Requirement, lines)))
        for name, lines in written.items()
    }
    whole, asked = [pin(name) for name in written], [Requirement("outer>=1")]
    assert faults(whole, asked, own, HERE) == []
    for missing, asking in (("quick", "inner[fast-path]"), ("further", "inner[more]")):
        rest = [one for one in whole if one.name != missing]
        (told,) = faults(rest, asked, own, HERE)
        assert told.startswith(f"{asking} asks for {missing}")
    own["quick", Version("1")] = Package(SpecifierSet(">=3.12"), ())
    assert faults(whole, asked, own, HERE) == ["quick 1 does not run on Python 3.11"]
    assert faults(whole, asked, own, EVERYWHERE[-1]) == []
