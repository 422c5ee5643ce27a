"""Images that `make image` builds here, and processes in them: read-only, as user 10001.

There is no engine: buildah builds in a chroot, on a base out of Debian's packages, and bubblewrap
runs a command in what was built. The store is under `.build` and is kept: a base is made once.
"""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import IO, Any, Final

from service import __version__
from tests.callers.commands import said
from tests.callers.programs import ROOT, program

STORE: Final = ROOT / ".build/containers"
BASE: Final = "localhost/base:bookworm"
_FROM_HERE: Final = ("/etc/pip.conf", "/etc/ssl/certs")
"""How this machine reaches the package index, where it is told so; the base knows nothing of it."""


def environment() -> dict[str, str]:
    """Where buildah keeps what it builds, and what it has in hand: much, for a folder in memory."""
    STORE.mkdir(parents=True, exist_ok=True)
    told = STORE / "storage.conf"
    driver = os.environ.get("STORAGE_DRIVER", "overlay")
    told.write_text(
        f'[storage]\ndriver = "{driver}"\ngraphroot = "{STORE}/store"\nrunroot = "{STORE}/run"\n'
    )
    return {"CONTAINERS_STORAGE_CONF": str(told), "TMPDIR": "/var/tmp"}


def buildah(*command: str) -> str:
    """What buildah says."""
    return said("buildah", *command, environment=environment()).strip()


@lru_cache
def built(lock: str) -> str:
    """The name of an image with the packages of a lock, built as `make image` builds it."""
    if BASE.rsplit(":", maxsplit=1)[0] not in buildah("images"):
        program("mmdebstrap")
        said("make", "image-base", environment=environment())
    name = f"localhost/takeoff-{lock.removesuffix('.lock')}"
    mounted = [f"--volume {path}:{path}:ro" for path in _FROM_HERE if Path(path).exists()]
    asked = {"ENGINE": "buildah", "IMAGE": name, "LOCK": lock, "BASE": BASE}
    asked["BUILD_OPTIONS"] = " ".join(["--pull-never", *mounted])
    said("make", "image", environment={**environment(), **asked}, seconds=1800)
    return f"{name}:{__version__}"


def configured(image: str) -> dict[str, Any]:
    """What the image says of itself."""
    told: dict[str, Any] = json.loads(buildah("inspect", "--type", "image", image))
    config: dict[str, Any] = told["Docker"]["config"]
    return config


@lru_cache
def root_of(image: str) -> Path:
    """Where the files of an image lie."""
    return Path(buildah("mount", buildah("from", "--pull-never", image)))


def put_away() -> None:
    """Leave no image mounted: a folder with one in it cannot be removed."""
    if root_of.cache_info().currsize:
        buildah("rm", "--all")
        root_of.cache_clear()


def process(
    image: str, command: list[str], log: IO[str], sets: Mapping[str, str], *binds: Path
) -> subprocess.Popen[str]:
    """A process in the image: its root read-only, its user 10001, `/tmp` its own, no privilege."""
    config = configured(image)
    kept = dict(one.split("=", 1) for one in config["Env"]) | dict(sets)
    user, group = config["User"].split(":")
    told = [
        program("bwrap"), "--ro-bind", str(root_of(image)), "/", "--dev", "/dev", "--proc", "/proc",
        "--tmpfs", "/tmp", "--unshare-user", "--uid", user, "--gid", group, "--unshare-pid",
        "--cap-drop", "ALL", "--die-with-parent", "--chdir", config["WorkingDir"], "--clearenv",
    ]  # fmt: skip
    for name, value in kept.items():
        told += ["--setenv", name, value]
    for folder in binds:
        told += ["--bind", str(folder), str(folder)]
    return subprocess.Popen([*told, "--", *command], stdout=log, stderr=log, text=True)
