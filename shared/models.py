"""The ground floor's rows: people and the ledger."""

from shared.access.models import Device, DevicePerson, Person
from shared.ledger.models import ChainHead, DaySeal, Entry, PersonalValue, RowStated

__all__ = ["ChainHead", "DaySeal", "Device", "DevicePerson", "Entry", "Person", "PersonalValue", "RowStated"]
