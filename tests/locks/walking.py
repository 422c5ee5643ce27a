"""From what is asked for, through all that it asks for in its turn, in one environment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Final

from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.locks.reading import Packages, Pin

Environment = dict[str, str]

_PYTHONS: Final = ("3.11.4", "3.11.0", "3.12.4", "3.13.4")  # some packages fill gaps of 3.11.0
_MACHINES: Final = (
    ("linux", "Linux", "posix", "x86_64"), ("linux", "Linux", "posix", "aarch64"),
    ("darwin", "Darwin", "posix", "x86_64"), ("darwin", "Darwin", "posix", "arm64"),
    ("win32", "Windows", "nt", "AMD64"), ("win32", "Windows", "nt", "ARM64"),
)  # fmt: skip


def environments() -> Iterator[Environment]:
    """Every version of Python on every machine that the locks are made for (names of PEP 508)."""
    for version, (platform, system, name, machine) in product(_PYTHONS, _MACHINES):
        yield {
            "python_version": version.rpartition(".")[0], "python_full_version": version,
            "sys_platform": platform, "platform_system": system, "os_name": name,
            "platform_machine": machine, "platform_release": "", "platform_version": "",
            "implementation_name": "cpython", "implementation_version": version,
            "platform_python_implementation": "CPython",
        }  # fmt: skip


def faults(
    lock: Sequence[Pin], asked: Iterable[Requirement], packages: Packages, where: Environment
) -> list[str]:
    """What a lock lacks in an environment, what does not fit there, what nothing asks for."""
    here = {pin.name: pin for pin in lock if _holds(pin.marker, where, "")}
    walk = _Walk(here, packages, where)
    walk.meet("pyproject.toml", "", asked)
    met = {name for name, _ in walk.seen}
    return walk.faults + [f"nothing asks for {name}" for name in here if name not in met]


@dataclass(slots=True)
class _Walk:
    here: dict[str, Pin]
    packages: Packages
    where: Environment
    faults: list[str] = field(default_factory=list)
    seen: set[tuple[str, str]] = field(default_factory=set)
    """Packages, each with an extra of its own that was asked for, or with "" for itself."""

    def meet(self, asking: str, extra: str, requires: Iterable[Requirement]) -> None:
        """Go through what a package asks for, for itself or for one of its extras."""
        for wanted in requires:
            if _holds(wanted.marker, self.where, extra):
                self._meet(asking, wanted)

    def _meet(self, asking: str, wanted: Requirement) -> None:
        name = canonicalize_name(wanted.name)
        pin = self.here.get(name)
        if pin is None:
            self.faults.append(f"{asking} asks for {wanted}: no line")
            return
        if not wanted.specifier.contains(pin.version, prereleases=True):
            self.faults.append(f"{asking} asks for {wanted}: {pin.version} does not fit")
        for extra in ("", *map(canonicalize_name, wanted.extras)):
            if (name, extra) not in self.seen:
                self.seen.add((name, extra))
                self._through(pin, extra)

    def _through(self, pin: Pin, extra: str) -> None:
        package = self.packages.get((pin.name, pin.version))
        if package is None:
            self.faults.append(f"{pin.name} {pin.version} is not in requires.json: make lock")
            return
        if not package.python.contains(self.where["python_full_version"]):
            version = self.where["python_version"]
            self.faults.append(f"{pin.name} {pin.version} does not run on Python {version}")
        self.meet(f"{pin.name}[{extra}]" if extra else pin.name, extra, package.requires)


def _holds(marker: Marker | None, where: Environment, extra: str) -> bool:
    return marker is None or marker.evaluate({**where, "extra": extra})
