"""What every action is given: who acts, when, from which device, and the client's key that makes a replay harmless."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar
from uuid import UUID

from django.db.models import Model
from django.utils.translation import gettext as _

from shared.access.models import Person
from shared.canonical import Json
from shared.ledger.models import Entry
from shared.ledger.writing import KeyReused, append, seen

M = TypeVar("M", bound=Model)


class CannotBe(ValueError):
    """Says in a sentence what cannot be, what can, and what was kept. `field` names the input it belongs to."""

    def __init__(self, sentence: str, field: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


@dataclass(frozen=True, slots=True)
class AnyonesAct:
    """`at` is when it happened, aware; `key` is made by the client and becomes the primary key of what is created.

    `by` is None for a customer who came by their link, which the caller has checked.
    """

    by: Person | None
    at: datetime
    key: UUID
    device: str = ""

    def replayed(self, model: type[M], *, chain: UUID, kind: str) -> M | None:
        """The row this act already wrote, when it is a replay. Raises CannotBe when the key stands for another act."""
        entry = self.entry_before(chain=chain, kind=kind)
        return model._default_manager.get(pk=entry.subject) if entry else None

    def entry_before(self, *, chain: UUID, kind: str) -> Entry | None:
        """As replayed(), for an act that leaves no row behind."""
        try:
            return seen(self.key, chain=chain, kind=kind)
        except KeyReused as problem:
            sentence = _("This was already sent as something else. Open the page again and press once more.")
            raise CannotBe(sentence) from problem

    def write(self, *, chain: UUID, kind: str, subject: UUID, payload: Mapping[str, Json]) -> None:
        """Append to the ledger, in the action's transaction."""
        append(
            chain=chain, kind=kind, payload=payload, by=self.by, key=self.key, happened_at=self.at,
            subject=subject, device=self.device,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Act(AnyonesAct):
    """By a person who is signed in, as nearly every act is."""

    by: Person
