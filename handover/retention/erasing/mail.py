"""Mail that was laid down in a folder because no mail server is set: what was written to a person goes with them."""

from collections.abc import Iterable
from pathlib import Path

from django.conf import settings

from handover.rental.models import Rental
from handover.retention.erasing.values import stated_of
from shared.ledger.models import PersonalValue


def addresses_of(rental: Rental) -> set[str]:
    """The customer's, and those that links and letters were sent to. Ask before they are erased."""
    sent = PersonalValue.objects.filter(kind="customer.email", digest__in=stated_of(rental), erased_at=None)
    return {address for address in (rental.customer.email, *sent.values_list("value", flat=True)) if address}


def remove_mail(addresses: Iterable[str]) -> int:
    """Remove each file of the folder that names one of the addresses; how many. A file is what one run sent."""
    folder, wanted = Path(settings.EMAIL_FILE_PATH), [address.encode() for address in addresses]
    if not settings.EMAIL_BACKEND.endswith("filebased.EmailBackend") or not folder.is_dir() or not wanted:
        return 0
    found = [path for path in folder.iterdir() if path.is_file() and _names(path.read_bytes(), wanted)]
    for path in found:
        path.unlink(missing_ok=True)
    return len(found)


def _names(data: bytes, wanted: Iterable[bytes]) -> bool:
    return any(address in data for address in wanted)
