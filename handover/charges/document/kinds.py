"""The kinds of value that a document holds, each read strictly and refused in one sentence."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from enum import Enum
from typing import Final, TypeAlias

from handover.charges.document.intake import Intake, Kind, RefusedError, read_key, spoken


class Missing(Enum):
    """A reading that is not a number: two different things, and neither is zero."""

    NOT_READ = "not read"
    NOT_APPLICABLE = "not applicable"


NOT_READ: Final = Missing.NOT_READ
NOT_APPLICABLE: Final = Missing.NOT_APPLICABLE
Reading: TypeAlias = Decimal | Missing

_NUMBER = re.compile(r"-?\d{1,12}(\.\d{1,12})?")
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?")


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time: as the branch's clock showed it, and as an instant in UTC."""

    local: datetime
    utc: datetime

    @property
    def text(self) -> str:
        return self.local.strftime("%Y-%m-%dT%H:%M")


def decimal(minimum: int | None = 0, maximum: int | None = None, hint: str = "") -> Kind:
    """A number written as a decimal string or a whole number, kept exactly."""

    def read(value: object, path: str, intake: Intake) -> Decimal:
        number = _number(value)
        if minimum is not None and number < minimum:
            raise RefusedError(f"{value} is below {minimum}, which cannot be; {minimum} or more can.{_meant(hint)}")
        if maximum is not None and number > maximum:
            raise RefusedError(f"{value} is above {maximum}, which cannot be; {maximum} or less can.{_meant(hint)}")
        return number

    return read


def _meant(hint: str) -> str:
    return f" {hint}" if hint else ""


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, int | str | Decimal):
        raise RefusedError(f'This is {spoken(value)}; a decimal string such as "12.50" is needed.')
    if isinstance(value, Decimal):
        value = format(value, "f")
    if not _NUMBER.fullmatch(str(value)):
        raise RefusedError(f'{spoken(value)} is not a plain number; write it like "12.50", with a point and no unit.')
    return Decimal(value)


def above_zero(hint: str = "") -> Kind:
    """A number that something is divided by, or that cannot be nothing: a tank, a block, a life."""

    def read(value: object, path: str, intake: Intake) -> Decimal:
        number = _number(value)
        if number <= 0:
            raise RefusedError(f"{value} cannot be; it has to be above 0.{_meant(hint)}")
        return number

    return read


def whole(minimum: int = 0, hint: str = "") -> Kind:
    """A count without a fraction."""
    inner = decimal(minimum, hint=hint)

    def read(value: object, path: str, intake: Intake) -> int:
        number = inner(value, path, intake)
        if number != number.to_integral_value():
            raise RefusedError(f"{value} is not a whole number; only whole numbers count here.")
        return int(number)

    return read


def flag(value: object, path: str, intake: Intake) -> bool:
    if not isinstance(value, bool):
        raise RefusedError(f"This is {spoken(value)}; only true or false can be here.")
    return value


def text(value: object, path: str, intake: Intake) -> str:
    if not isinstance(value, str) or not value.strip():
        raise RefusedError(f"This is {spoken(value)}; words in quotation marks are needed.")
    return value


def one_of(*choices: str) -> Kind:
    def read(value: object, path: str, intake: Intake) -> str:
        if not isinstance(value, str) or value not in choices:
            raise RefusedError(f"{spoken(value)} is none of the choices here: {', '.join(choices)}.")
        return value

    return read


def optional(kind: Kind) -> Kind:
    """The kind, or null for none."""

    def read(value: object, path: str, intake: Intake) -> object:
        return None if value is None else kind(value, path, intake)

    return read


def reading(kind: Kind) -> Kind:
    """The kind, or null for not read."""

    def read(value: object, path: str, intake: Intake) -> object:
        return NOT_READ if value is None else kind(value, path, intake)

    return read


def list_of(kind: Kind) -> Kind:
    def read(value: object, path: str, intake: Intake) -> tuple[object, ...]:
        if not isinstance(value, list | tuple):
            raise RefusedError(f"This is {spoken(value)}; a list in brackets is needed.")
        read_items = [read_key(kind, item, f"{path}[{number}]", intake) for number, item in enumerate(value)]
        if not all(was_read for was_read, _ in read_items):
            raise RefusedError
        return tuple(item for _, item in read_items)

    return read


def map_of(kind: Kind, keys: Kind = text) -> Kind:
    """An object whose keys are names of the operator's own, or those that `keys` accepts."""

    def read(value: object, path: str, intake: Intake) -> dict[str, object]:
        if not isinstance(value, Mapping):
            raise RefusedError(f"This is {spoken(value)}; an object in braces is needed here.")
        names = [read_key(keys, name, f"{path}.{name}", intake) for name in value]
        items = {name: read_key(kind, item, f"{path}.{name}", intake) for name, item in value.items()}
        if not all(was_read for was_read, _ in [*names, *items.values()]):
            raise RefusedError
        return {name: item for name, (_, item) in items.items()}

    return read


def moment(*, fold: int) -> Kind:
    """A local time of the branch, or one with its own offset.

    An hour that the clocks show twice is read in the customer's favour: fold 0 is the first, 1 the second.
    """

    def read(value: object, path: str, intake: Intake) -> Moment:
        stamp = _stamp(value)
        if stamp.tzinfo is None:
            stamp = _in_zone(stamp, fold, intake)
        here = stamp.astimezone(intake.zone)
        return Moment(here.replace(tzinfo=None, fold=0), stamp.astimezone(UTC))

    return read


def _stamp(value: object) -> datetime:
    if not isinstance(value, str) or not _MOMENT.fullmatch(value):
        raise RefusedError(f'{spoken(value)} is not a local time; write it like "2026-05-10T10:00".')
    try:
        return datetime.fromisoformat(value)
    except ValueError as error:
        raise RefusedError(f"{value} is not in the calendar or on the clock: {error}.") from error


def _in_zone(stamp: datetime, fold: int, intake: Intake) -> datetime:
    local = stamp.replace(tzinfo=intake.zone, fold=fold)
    back = local.astimezone(UTC).astimezone(intake.zone)
    if back.replace(tzinfo=None) != stamp:
        # Whoever wrote a time that was skipped had not yet put the clock forward: an hour later is meant.
        back = stamp.replace(tzinfo=intake.zone, fold=0).astimezone(UTC).astimezone(intake.zone)
        raise RefusedError(
            f"{stamp.isoformat(timespec='minutes')} never was: clocks in {intake.zone.key} went forward over it; "
            f"{back.strftime('%H:%M')} is the likely meaning."
        )
    return local


def day(value: object, path: str, intake: Intake) -> date:
    try:
        return date.fromisoformat(value if isinstance(value, str) else "")
    except ValueError as error:
        raise RefusedError(f'{spoken(value)} is not a date; write it like "2026-05-25".') from error


def clock_time(value: object, path: str, intake: Intake) -> time:
    try:
        return time.fromisoformat(value if isinstance(value, str) and len(value) == 5 else "")
    except ValueError as error:
        raise RefusedError(f'{spoken(value)} is not a time of day; write it like "08:30".') from error


def anything(value: object, path: str, intake: Intake) -> object:
    return value
