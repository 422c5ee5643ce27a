"""Asks for the order of a small ceiling and prints it; a type checker finds what is misspelt.

python order.py http://127.0.0.1:8080
"""

from __future__ import annotations

import json
import sys
from typing import cast
from urllib.error import HTTPError
from urllib.request import Request, urlopen

from takeoff_types import Answer, Job, Problem

JOB: Job = {
    "unit": "in",
    "surfaces": [
        {
            "id": "porch",
            "rectangle": ["12 ft", "8 ft"],
            "supports": {"direction": 90, "spacing": 16},
            "layers": [{"kind": "boarding", "product": "pine", "direction": 0}],
        }
    ],
    "products": [
        {
            "id": "pine",
            "form": "board",
            "profile": "tongue_and_groove",
            "ends": "square",
            "coverage": "5 1/8 in",
            "overall": "5 3/8 in",
            "thickness": "3/4 in",
            "stock": [{"length": "8 ft"}, {"length": "12 ft"}],
        }
    ],
}


def asked(base: str, job: Job) -> Answer:
    """The takeoff of a job. Raises SystemExit with the problem's words where there is none."""
    headers = {"Content-Type": "application/json"}
    request = Request(f"{base}/v1/takeoffs", json.dumps(job).encode(), headers)
    try:
        with urlopen(request, timeout=60) as response:
            return cast("Answer", json.load(response))
    except HTTPError as refused:
        problem = cast("Problem", json.load(refused))
        faults = [f"  {one.get('pointer')}: {one['detail']}" for one in problem.get("errors", [])]
        raise SystemExit("\n".join([f"{problem['title']}: {problem['detail']}", *faults])) from None


if __name__ == "__main__":
    answer = asked(sys.argv[1] if len(sys.argv) > 1 else "http://127.0.0.1:8080", JOB)
    for row in answer["order"]:
        print(row["buy"], row["item"])
