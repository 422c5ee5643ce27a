"""How shapes are written as JSON Schema: in the order in which their members are stated."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema


class PublishedSchema(GenerateJsonSchema):
    """JSON Schema without what only repeats: titles of members, and defaults of null.

    A member that may be left out is known by not being `required`; what it then is, its description
    says.
    """

    def field_title_should_be_set(self, schema: Any) -> bool:
        """No: the title would be the member's name again."""
        return False

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """A default, unless it is none."""
        if schema.get("default", ...) is None:
            return self.generate_inner(schema["schema"])
        return super().default_schema(schema)

    def sort(self, value: JsonSchemaValue, parent_key: str | None = None) -> JsonSchemaValue:
        """In the order of the class."""
        return value
