"""A test spot: how a small piece of the paint was polished, and what was seen of it by light."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Phrase = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]


class SpotCard(BaseModel):
    """One combination that was tried; ``chosen``: the car is polished so."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    machine: Phrase
    pad: Phrase
    paste: Phrase
    passes: Annotated[int, Field(ge=1, le=40)]
    result: Phrase
    chosen: bool = True
