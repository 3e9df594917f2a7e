"""The ground floor's rows: people and the ledger."""

from shared.access.models import Device, DevicePerson, Person, SecondFactorReset, SignedIn
from shared.ledger.models import ChainHead, DaySeal, Entry, PersonalValue, RowStated
from shared.running.models import Mark

__all__ = [
    "ChainHead", "DaySeal", "Device", "DevicePerson", "Entry", "Mark", "Person", "PersonalValue", "RowStated",
    "SecondFactorReset", "SignedIn",
]  # fmt: skip
