"""A statement with its whole workings: the same steps as on screen and in the record."""

from datetime import date, datetime

from ninja import Schema
from pydantic import Field

from handover.api.paging import Paged
from handover.api.words import BranchCode, Moment


class StatementsAsked(Paged):
    branch: BranchCode | None = None
    settled: bool | None = Field(None, description="Only versions that are settled, or only those that are not.")
    drawn_up_from: Moment | None = None


class StepOut(Schema):
    """What a step does to the figure so far, which begins at nothing; `source` is a path in the priced document."""

    sign: str
    quantity: str
    unit: str
    label: str
    source: str
    kind: str


class CoverOut(Schema):
    name: str
    label: str
    amount: str


class LineOut(Schema):
    """`raw` before what Extras cover, `amount` after; amounts as decimal text."""

    number: int
    code: str
    ref: str
    title: str
    measure: str
    raw: str
    covered: str
    amount: str
    tax_code: str
    tax: str
    steps: list[StepOut]
    cover: list[CoverOut]


class FindingOut(Schema):
    """What was looked at and is not charged, or not in full, and why."""

    code: str
    ref: str
    reason: str
    sentence: str


class StatementShort(Schema):
    id: str
    rental: str = Field(description="Number of the rental.")
    rental_id: str
    branch: str
    version: int
    currency: str
    total: str
    settled: bool
    drawn_up_at: datetime
    objection_until: date | None
    digest: str = Field(description="SHA-256 of the priced result's bytes.")
    href: str


class StatementOut(StatementShort):
    rules_version: str
    totals: dict[str, str]
    lines: list[LineOut]
    findings: list[FindingOut]
