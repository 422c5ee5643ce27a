"""The service against its own document: generated requests, sound and unsound, with all checks.

Each value at and beyond its bound, field by field, makes over ten thousand jobs: they are sent by
`make hostile`. In a usual run the attacks of `hostile/` reach every field.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from service.api.settings import Settings
from service.app import create_app
from tests.contract.hostile.walking import operations
from tests.contract.serving import serving

ROOT = Path(__file__).parents[2]
CONFIG = Path(__file__).with_name("schemathesis.toml")
HOOKS = "tests.contract.schemathesis_hooks"
RUN = "from schemathesis.cli import schemathesis; schemathesis()"


WHOLE = "HOSTILE" in os.environ
FORMS = r"[.][a-z]+$"
USUAL = f"""
[[operations]]
include-method = "POST"
phases.coverage.enabled = false

[[operations]]
include-path-regex = "{FORMS}"
enabled = false
"""
"""The forms of an answer have addresses of their own, which all read the body alike."""


def test_every_operation_keeps_the_contract(tmp_path):
    settings = Settings(processes=2, waiting=50, deadline_seconds=20)
    config = tmp_path / CONFIG.name
    config.write_text(CONFIG.read_text() + ("" if WHOLE else USUAL))
    with serving(create_app(settings)) as client:
        ended = subprocess.run(
            [
                sys.executable, "-c", RUN, "--config-file", str(config), "run", "--checks", "all",
                "--no-color", f"{client.base_url}/openapi.json",
            ],
            env={**os.environ, "PYTHONPATH": str(ROOT), "SCHEMATHESIS_HOOKS": HOOKS},
            cwd=tmp_path, capture_output=True, text=True, timeout=3600 if WHOLE else 300,
            check=False,
        )  # fmt: skip
    assert ended.returncode == 0, ended.stdout[-20_000:] + ended.stderr[-2_000:]
    found = operations()
    tried = [one for one in found if WHOLE or not re.search(FORMS, one.path)]
    assert f"{len(tried)} selected / {len(found)} total" in ended.stdout
