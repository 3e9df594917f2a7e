"""On which day, for which reason and with what held back something is erased."""

from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from handover.retention.kinds import Kind
from handover.retention.words import instead


@dataclass(frozen=True, slots=True)
class Scope:
    """`kinds` go whole but for the rows in `keep`. `of_the_customer` are those of them that no other rental of the
    same customer still needs: the customer's own row is touched for these alone.
    """

    kinds: frozenset[Kind]
    day: date
    why: str
    keep: frozenset[UUID] = frozenset()
    of_the_customer: frozenset[Kind] = field(default_factory=frozenset)

    @property
    def instead(self) -> str:
        """What stands where words were."""
        return instead(self.day, self.why)
