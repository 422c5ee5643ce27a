"""What a yard calls a product: words of the caller, that are written into the order and no more."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field

from service.schemas.base import Asked
from service.schemas.quantities import Name

PLAIN_TEXT: Final = r"^[^\u0000-\u001f\u007f-\u009f\ufdd0-\ufdef\ufffe\uffff]*$"
"""No control or noncharacters: the strict reading of JSON refuses them anywhere."""

Word = Annotated[str, Field(min_length=1, max_length=40, pattern=PLAIN_TEXT)]


class Described(Asked):
    """A product with what it is called; nothing of it is interpreted."""

    id: Name
    species: Word | None = Field(None, description="As the yard calls it: `pine`. Only written.")
    grade: Word | None = Field(None, description="As it is stamped or sold. Only written.")
    gauge: Word | None = Field(None, description="Of a nail or a screw: `16 ga`. Only written.")
    coating: Word | None = Field(None, description="`galvanised`, `primed` ... Only written.")
    description: Annotated[str, Field(min_length=1, max_length=100, pattern=PLAIN_TEXT)] | None = (
        Field(None, description="What it is called in the order in place of all that.")
    )

    @property
    def called(self) -> str | None:
        """What an order calls it: the description, or species, grade, gauge and coating.

        None where nothing of it was sent.
        """
        words = [self.grade, self.gauge, self.coating]
        told = [word for word in words if word is not None]
        if self.description is not None or not (told or self.species):
            return self.description
        return " ".join([self.species or self.id, *told])
