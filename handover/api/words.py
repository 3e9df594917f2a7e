"""The types of what is sent and answered, each with its bounds: what fits here, the database holds."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, AwareDatetime, Field, StringConstraints

LINE = r"^[^\x00-\x1f\x7f]*$"
SLUG = r"^[a-z0-9_-]{1,50}$"
EARLIEST, LATEST = datetime(2000, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)


def words(most: int, *, least: int = 0) -> StringConstraints:
    """One line of text without control letters."""
    return StringConstraints(min_length=least, max_length=most, pattern=LINE)


def _between(when: datetime) -> datetime:
    if not EARLIEST <= when < LATEST:
        raise ValueError("a time from 2000 to 2099 is needed")
    return when


def _day_between(day: date) -> date:
    if not EARLIEST.date() <= day < LATEST.date():
        raise ValueError("a day from 2000 to 2099 is needed")
    return day


Moment = Annotated[
    AwareDatetime, AfterValidator(_between), Field(description="ISO 8601 with its offset, from 2000 to 2099.")
]
Day = Annotated[date, AfterValidator(_day_between), Field(description="ISO 8601, from 2000 to 2099.")]
BranchCode = Annotated[str, Field(pattern=SLUG, description="Code of a branch, such as inverlark.")]
UnitNumber = Annotated[str, StringConstraints(min_length=1, max_length=10, pattern=LINE)]
Amount = Annotated[
    str, Field(pattern=r"^[0-9]{1,9}(\.[0-9]{1,3})?$", description="Decimal text in the branch's currency.")
]


def amount_text(amount: Decimal, digits: int) -> str:
    return f"{amount:.{digits}f}"
