"""What could not be kept: said at its row, with what was typed still there."""

import dataclasses
from collections.abc import Mapping
from uuid import UUID


@dataclasses.dataclass(frozen=True, slots=True)
class Trouble:
    """`item` is the question's or mark's id, or None for a form of the station. `asks`: a question, no refusal."""

    sentence: str
    item: UUID | None = None
    field: str = ""
    typed: Mapping[str, str] = dataclasses.field(default_factory=dict)
    asks: bool = False
