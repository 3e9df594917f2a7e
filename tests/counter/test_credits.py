"""Money that goes back and belongs to no line: within the role's limit, above it with a second person."""

import json
from decimal import Decimal

import pytest
from django.http import Http404
from django.test import Client

from handover.acting import CannotBe
from handover.counter.actions import give_credit
from handover.counter.models import Credit
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from shared.access.models import Person
from shared.access.scope import NotAllowed
from shared.ids import uuid7
from tests.factories import BACK_AT, PersonFactory, RentalFactory, ReturnBayFactory, an_act
from tests.kept import anew
from tests.playing import come_back, go

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def kept_back(kept_for_module: None) -> Rental:
    """Came back with 22 L less: 19 L count, £30.78."""
    rental, callum = RentalFactory(), ReturnBayFactory()
    go(rental, PersonFactory(), diesel="82", odometer="41206 mi")
    come_back(rental, callum, at=BACK_AT, diesel="60", odometer="42018 mi")
    draw_up(rental, act=an_act(callum, at=BACK_AT))
    return rental


@pytest.fixture
def back(kept_back: Rental, db: None) -> Rental:
    return anew(kept_back)


def credit(rental: Rental, by: Person, worth: str = "20.00", **said: object) -> Credit:
    plain = {"kind": "GOODWILL", "amount": Decimal(worth), "words": "The shower dripped all week."}
    return give_credit(rental, **(plain | said), act=an_act(by, at=BACK_AT))  # type: ignore[arg-type]


def test_it_lowers_what_is_due(back: Rental, callum: Person) -> None:
    credit(back, callum)
    statement = draw_up(back, act=an_act(callum, at=BACK_AT))
    lines = {line["code"]: line["amount"] for line in json.loads(statement.result)["lines"]}
    assert (lines, statement.total) == ({"FUEL": "30.78", "GOODWILL": "-20.00"}, Decimal("10.78"))


def test_more_than_is_due_is_a_refund(back: Rental, ruth: Person) -> None:
    credit(back, ruth, "40.00")
    totals = json.loads(draw_up(back, act=an_act(ruth, at=BACK_AT)).result)["totals"]
    assert (totals["total"], totals["refund_due"]) == ("-9.22", "9.22")


def test_above_the_limit_a_second_person_confirms(back: Rental, callum: Person, ruth: Person) -> None:
    with pytest.raises(CannotBe, match="may waive up to £50"):
        credit(back, callum, "60.00")
    assert credit(back, callum, "60.00", second=ruth).second == ruth


def test_nobody_confirms_for_themselves(back: Rental, callum: Person) -> None:
    with pytest.raises(CannotBe, match="second person is another one"):
        credit(back, callum, "60.00", second=callum)


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"kind": "GIFT"}, "kind"),
        ({"amount": None}, "amount"),
        ({"amount": Decimal(0)}, "amount"),
        ({"words": " "}, "words"),
    ],
)
def test_what_cannot_be(back: Rental, callum: Person, said: dict[str, object], field: str) -> None:
    with pytest.raises(CannotBe) as refused:
        credit(back, callum, **said)
    assert refused.value.field == field
    assert not Credit.objects.exists()


def test_a_replay_gives_once(back: Rental, callum: Person) -> None:
    act = an_act(callum, at=BACK_AT)
    for _ in range(2):
        give_credit(back, kind="OVERPAID", amount=Decimal(5), words="Paid twice", act=act)
    assert Credit.objects.count() == 1


def test_other_roles_and_branches(back: Rental, maeve: Person, ida: Person) -> None:
    with pytest.raises(NotAllowed):
        credit(back, maeve)
    with pytest.raises(Http404):
        credit(back, ida)


def test_from_the_page(back: Rental, callum: Person, client: Client) -> None:
    client.force_login(callum)
    statement = back.statements.get()
    address = f"/statement/{statement.pk}/credit/"
    assert "Give a credit" in client.get(address).content.decode()
    said = {"kind": "GOODWILL", "amount": "20", "words": "Drip", "key": str(uuid7()), "price_key": str(uuid7())}
    assert client.post(address, said).status_code == 302
    assert back.statements.last().total == Decimal("10.78")


def test_a_refusal_keeps_what_was_typed(back: Rental, callum: Person, client: Client) -> None:
    client.force_login(callum)
    said = {"kind": "GOODWILL", "amount": "abc", "words": "Drip", "key": str(uuid7()), "price_key": str(uuid7())}
    answer = client.post(f"/statement/{back.statements.get().pk}/credit/", said)
    assert answer.status_code == 422
    assert 'value="abc"' in answer.content.decode()
