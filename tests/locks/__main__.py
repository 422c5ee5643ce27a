"""`python -m tests.locks` asks what every pinned package asks for, and writes docker/requires.json.

pip reads it from the very files that the locks name by their digests, and installs nothing. Lines
for other systems are asked for too, so markers are left out.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from packaging.utils import canonicalize_name

from tests.locks.reading import ASKED, DOCKER, Pin, pins


def every_pin() -> list[Pin]:
    """Each package of all locks once; they agree with one another."""
    found = {pin.name: pin for lock in DOCKER.glob("*.lock") for pin in pins(lock.read_text())}
    return [found[name] for name in sorted(found)]


def reported(wanted: list[Pin]) -> list[dict[str, Any]]:
    """pip's report on them: the metadata of each."""
    lines = [f"{pin.name}=={pin.version} \\\n{pin.hashes}" for pin in wanted]
    with TemporaryDirectory() as folder:
        listed, report = Path(folder, "all.lock"), Path(folder, "report.json")
        listed.write_text("\n".join(lines), encoding="utf-8")
        ask = ["install", "--dry-run", "--ignore-installed", "--no-deps", "--require-hashes"]
        told = ["--quiet", "--report", str(report), "-r", str(listed)]
        subprocess.run([sys.executable, "-m", "pip", *ask, *told], check=True)
        rows: list[dict[str, Any]] = json.loads(report.read_text())["install"]
        return rows


def main() -> None:
    """One line a package, so that a change of one shows as one."""
    wanted = every_pin()
    own = {canonicalize_name(row["metadata"]["name"]): row["metadata"] for row in reported(wanted)}
    rows = {
        f"{pin.name}=={pin.version}": {
            "python": own[pin.name].get("requires_python", ""),
            "requires": own[pin.name].get("requires_dist", []),
        }
        for pin in wanted
    }
    lines = [f"{json.dumps(key)}: {json.dumps(row)}" for key, row in rows.items()]
    ASKED.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
