"""What has arrived of the numbers that a tablet gave its entries, and what has to wait for the rest."""

from django.db import transaction
from django.db.models import Exists, OuterRef

from handover.tablet.models import Receipt
from shared.access.models import Device


class Waiting(Exception):
    """Something that an entry rests on has not arrived: it is sent again later."""


def is_all_before(device: Device, seq: int | None) -> bool:
    """Whether every entry of the tablet with a lower number has arrived. A photo arrives with its bytes."""
    if seq is None:
        return True
    come = Receipt.objects.filter(device=device, seq__lt=seq, seq__gt=device.contiguous_seq).count()
    return come >= seq - 1 - device.contiguous_seq


def count_on(device: Device) -> int:
    """The highest number that arrived with all before it. It goes back where the database was restored from a copy.

    An entry in its turn has moved it by itself; what is left is a gap that has just been filled.
    """
    after = Receipt.objects.filter(device=OuterRef("pk"), seq=OuterRef("contiguous_seq") + 1)
    known, has_more = Device.objects.values_list("contiguous_seq", Exists(after)).get(pk=device.pk)
    return _over_the_gap(device) if has_more else known


@transaction.atomic
def _over_the_gap(device: Device) -> int:
    kept = Device.objects.select_for_update().get(pk=device.pk)
    numbers = Receipt.objects.filter(device=device, seq__gt=kept.contiguous_seq).order_by("seq")
    for seq in numbers.values_list("seq", flat=True):
        if seq != kept.contiguous_seq + 1:
            break
        kept.contiguous_seq += 1
    kept.save(update_fields=["contiguous_seq"])
    return kept.contiguous_seq
