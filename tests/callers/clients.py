"""The typed clients of `openapi/clients`, made from the document: `make clients` writes them."""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from service.app import OPENAPI
from tests.callers.programs import MADE, ran

DOCUMENT: Final = OPENAPI / "openapi.json"
TYPESCRIPT: Final = OPENAPI / "clients/typescript/takeoff.ts"
PYTHON: Final = OPENAPI / "clients/python/takeoff_types.py"
_HEADER: Final = "# Made from openapi.json by `make clients`: not to be edited."
_PYTHON_WAYS: Final = (
    "--input-file-type", "openapi", "--openapi-scopes", "schemas",
    "--output-model-type", "typing.TypedDict", "--no-use-closed-typed-dict",
    "--target-python-version", "3.11", "--use-standard-collections", "--use-union-operator",
    "--enum-field-as-literal", "all", "--collapse-root-models", "--use-schema-description",
    "--disable-timestamp", "--formatters", "builtin", "--custom-file-header", _HEADER,
)  # fmt: skip


def typescript() -> bytes:
    """The types of every shape and of each address that answers with JSON, for TypeScript."""
    document = json.loads(DOCUMENT.read_bytes())
    document["paths"] = {path: one for path, one in document["paths"].items() if _is_json(one)}
    with tempfile.TemporaryDirectory() as folder:
        asked, made = Path(folder) / "openapi.json", Path(folder) / "takeoff.ts"
        asked.write_text(json.dumps(document), encoding="utf-8")
        config = Path(folder) / "redocly.yaml"
        config.write_text("extends: []\n", encoding="utf-8")
        ran("openapi-typescript", asked, "--output", made, "--redocly", config)
        return made.read_bytes()


def _is_json(path: Mapping[str, Any]) -> bool:
    contents = [operation["responses"]["200"]["content"] for operation in path.values()]
    return all(list(content) == ["application/json"] for content in contents)


def python() -> bytes:
    """The shapes as typed dictionaries, for Python."""
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "takeoff_types.py"
        maker = MADE / "venv/bin/datamodel-codegen"
        ran(str(maker), "--input", DOCUMENT, "--output", made, *_PYTHON_WAYS)
        return made.read_bytes()


MAKERS: Final = {TYPESCRIPT: typescript, PYTHON: python}
"""Each file, and what makes it."""


if __name__ == "__main__":
    for file, made in MAKERS.items():
        file.write_bytes(made())
        sys.stdout.write(f"{file.relative_to(OPENAPI)}\n")
