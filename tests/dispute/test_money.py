"""A chargeback after a partial refund: both are shown, and no more is asked for than is still here."""

import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any, NamedTuple
from zipfile import ZipFile

import pytest

from handover.dispute.actions import Verdict, decide, open_chargeback, order_bundle
from handover.dispute.models import Decision, Dispute, Letter
from handover.dispute.money import money_of
from handover.settlement.models import Movement
from handover.statement.models import Statement
from shared.access.models import Person
from shared.files.store import read
from tests.dispute.conftest import DAYS_LATER
from tests.factories import an_act


class Row(NamedTuple):
    kind: str
    amount: Decimal


STORY = [Row("held", Decimal(900)), Row("captured", Decimal("802.50")), Row("refunded", Decimal("410.00"))]


@pytest.mark.parametrize(
    ("claimed", "asked", "twice"),
    [("802.50", "392.50", "410.00"), ("392.50", "392.50", "0.00"), ("100.00", "100.00", "0.00")],
)
def test_the_most_that_can_be_asked_for(claimed: str, asked: str, twice: str) -> None:
    claim = money_of(STORY).claim(Decimal(claimed))
    assert (claim.asked, claim.twice) == (Decimal(asked), Decimal(twice))


def test_all_went_back_already() -> None:
    all_back = [Row("paid", Decimal(5)), Row("refunded", Decimal(9))]
    assert money_of(all_back).claim(Decimal(5)).asked == 0


@pytest.fixture
def chargeback(settled: Statement, ruth: Person) -> Dispute:
    """802.50 captured of the deposit, 410.00 refunded, then 802.50 claimed by the bank."""
    rental = settled.rental
    common: dict[str, Any] = {
        "rental": rental, "statement": settled, "method": "card", "currency": "GBP", "at": DAYS_LATER, "by": ruth,
    }  # fmt: skip
    held = Movement.objects.create(kind="held", amount=Decimal("900.00"), **common)
    Movement.objects.create(kind="captured", amount=Decimal("802.50"), hold=held, **common)
    Movement.objects.create(kind="refunded", amount=Decimal("410.00"), **common)
    return open_chargeback(
        settled, claimed=Decimal("802.50"), reason_code="13.1", answer_by=date(2026, 9, 20), words="Not as described",
        act=an_act(ruth, at=DAYS_LATER),
    )  # fmt: skip


@pytest.mark.django_db
def test_the_page_shows_both(chargeback: Dispute, as_ruth: Any) -> None:
    page = as_ruth.get(f"/dispute/{chargeback.pk}/").content.decode()
    for amount in ("£802.50", "£410.00", "£392.50", "£410.00 of the claim went back already."):
        assert amount in page


@pytest.mark.django_db
def test_contested_it_asks_for_what_is_here(chargeback: Dispute, ruth: Person) -> None:
    made = decide(chargeback, Verdict("upheld", "Signed, photographed"), act=an_act(ruth, at=DAYS_LATER))
    assert (made.before, made.after, made.statement) == (Decimal("802.50"), Decimal("392.50"), None)
    assert Statement.objects.count() == 1
    assert not Letter.objects.exists()


@pytest.mark.django_db
def test_accepted_nothing_is_asked_for(chargeback: Dispute, ruth: Person) -> None:
    decide(chargeback, Verdict("withdrawn", "They are right"), act=an_act(ruth, at=DAYS_LATER))
    assert Decision.objects.get().after == 0


@pytest.mark.django_db
def test_a_bundle_of_it_is_made(chargeback: Dispute, ruth: Person, committed: Callable[[], Any]) -> None:
    with committed():
        bundle = order_bundle(chargeback, act=an_act(ruth, at=DAYS_LATER))
    bundle.refresh_from_db()
    assert (bundle.state, bundle.problem) == ("ready", "")
    with ZipFile(BytesIO(read(bundle.file))) as folder:
        names = folder.namelist()
        assert json.loads(folder.read("manifest.json"))["answer_by"] == "2026-09-20"
    assert [name for name in names if name.startswith("pairs/")] == ["pairs/01-left-door-side-by-side.jpg"]
    assert len([name for name in names if name.startswith("photos/")]) == 2
