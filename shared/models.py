"""The ground floor's rows: people and the ledger."""

from shared.access.models import Device, DevicePerson, Person
from shared.ledger.models import ChainHead, Entry, PersonalValue

__all__ = ["ChainHead", "Device", "DevicePerson", "Entry", "Person", "PersonalValue"]
