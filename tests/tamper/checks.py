"""The checks that the product has, near one place or all of them. Each gives sentences; none: it holds."""

from collections.abc import Callable, Iterator
from itertools import islice
from uuid import UUID

from handover.charges import parse, price
from handover.dayseal.checking import verify_signatures
from handover.photo.models import Photo
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import verify
from handover.statement.models import Statement
from handover.trip.models import TripPhoto
from shared.canonical import parse as json_of
from shared.files.store import Altered, read
from shared.ledger.days import SEALS_CHAIN, verify_days
from shared.ledger.row_checking import check_unstated
from shared.ledger.verifying import missing_triggers, verify_all, verify_chain

Check = Callable[[], Iterator[str]]


def of_chain(chain: UUID) -> Check:
    return lambda: verify_chain(chain)


def of_days() -> Iterator[str]:
    yield from verify_days()
    yield from verify_signatures()
    yield from verify_chain(SEALS_CHAIN)


def of_days_alone() -> Iterator[str]:
    yield from verify_days()


def of_rows_without_entry() -> Iterator[str]:
    yield from check_unstated()


def of_file(name: str) -> Check:
    def check() -> Iterator[str]:
        try:
            read(name)
        except (Altered, FileNotFoundError) as problem:
            yield str(problem)

    return check


def of_record(path: str) -> Check:
    """verify_record: it knows nothing of the name of the file."""

    def check() -> Iterator[str]:
        with open(path, "rb") as file:
            verdict = verify(file.read(), roots=trusted_roots())
        if not verdict.valid:
            yield verdict.sentences[-1]

    return check


def of_prices() -> Iterator[str]:
    for statement in Statement.objects.all():
        if price(parse(json_of(statement.inputs))).as_bytes().decode() != statement.result:
            yield f"{statement} comes to something else when it is priced again."


def everything() -> Iterator[str]:
    """But for the triggers, which are away all the time: that would be an alarm for every change."""
    away = set(missing_triggers())
    yield from (said for said in verify_all() if said not in away)
    yield from of_days()
    yield from of_prices()
    for name in files():
        yield from of_file(name)()


def files() -> list[str]:
    """Names of the evidence files that rows name."""
    photos = [*Photo.objects.all(), *TripPhoto.objects.all()]
    names = {name for photo in photos for name in (photo.original, photo.display, photo.thumb)}
    return sorted(names | set(records()))


def records() -> list[str]:
    return sorted(Record.objects.exclude(file="").values_list("file", flat=True))


def says(check: Check) -> bool:
    return any(islice(check(), 1))
