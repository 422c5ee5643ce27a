"""The part of the demo that README shows is what the demo prints."""

import json
import re
from pathlib import Path

from service.compute import answer
from service.demo import JOB
from tests.unit.printed_answers import printed

README = Path(__file__).parents[2] / "README.md"


def test_readme_shows_what_the_demo_prints() -> None:
    (shown,) = re.findall(r"```text\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    paper = iter(printed(json.loads(answer(JOB.read_bytes()).body)).split("\n"))
    lines = [line for line in shown.split("\n") if line.strip() and line != "..."]
    assert len(lines) > 40
    for line in lines:
        assert any(line == other for other in paper), line
