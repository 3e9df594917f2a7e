"""Signed by the customer and the staff, or left unsigned with a reason; then settled."""

import json
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from handover.record.models import Record
from handover.statement.models import Signature, Statement
from shared.ids import uuid7
from tests.playing import STROKES


def sign(client: Client, statement: Statement, role: str, **said: Any) -> HttpResponse:
    sent = {
        "key": uuid7(), "settle_key": uuid7(), "role": role, "name": "Maren Oduya", "seen_sha256": statement.digest,
        "strokes": json.dumps(STROKES),
    } | said  # fmt: skip
    return client.post(f"/statement/{statement.pk}/sign/", sent)  # type: ignore[return-value]


def test_the_pad_carries_the_digest_of_what_is_shown(as_callum: Client, priced: Statement) -> None:
    text = as_callum.get(f"/rental/{priced.rental_id}/statement/").text
    assert f'name="seen_sha256" value="{priced.digest}"' in text
    assert "You may still dispute any line." in text


def test_the_customer_signs_first(as_callum: Client, priced: Statement) -> None:
    answer = sign(as_callum, priced, "customer")
    assert answer.url == f"/rental/{priced.rental_id}/statement/"  # type: ignore[attr-defined]
    assert Signature.objects.get(statement=priced).name == "Maren Oduya"


def test_then_the_staff_is_asked(as_callum: Client, priced: Statement) -> None:
    sign(as_callum, priced, "customer")
    text = as_callum.get(f"/rental/{priced.rental_id}/statement/").text
    assert 'aria-label="Signature of Maren Oduya"' in text
    assert 'aria-label="Sheet for the signature of Callum Reid"' in text


def test_the_staffs_signature_settles_and_orders_the_record(as_callum: Client, priced: Statement) -> None:
    sign(as_callum, priced, "customer")
    answer = sign(as_callum, priced, "staff")
    record = Record.objects.get(statement=priced)
    assert answer.url == f"/record/{record.pk}/"  # type: ignore[attr-defined]
    priced.rental.refresh_from_db()
    assert priced.rental.state == "settled"


def test_the_staff_signs_in_their_own_name(as_callum: Client, priced: Statement) -> None:
    sign(as_callum, priced, "staff", name="Somebody Else")
    assert Signature.objects.get(statement=priced, role="staff").name == "Callum Reid"


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"strokes": ""}, "Nothing is drawn yet. Sign on the line."),
        ({"strokes": "scribble"}, "The signature did not arrive whole. Sign again."),
        ({"seen_sha256": "0" * 64}, "The statement was priced again since this page was shown."),
        ({"name": " "}, "A signature needs the name of who signs."),
        ({"key": ""}, "This form has no key."),
    ],
)
def test_what_is_no_signature(as_callum: Client, priced: Statement, said: dict[str, str], sentence: str) -> None:
    answer = sign(as_callum, priced, "customer", **said)
    assert answer.status_code == 422
    assert sentence in answer.text  # type: ignore[attr-defined]
    assert not Signature.objects.filter(statement=priced).exists()


def test_what_was_drawn_stays_when_it_cannot_be(as_callum: Client, priced: Statement) -> None:
    text = sign(as_callum, priced, "customer", seen_sha256="").text  # type: ignore[attr-defined]
    assert "&quot;x&quot;: 60" in text


def unsigned(client: Client, statement: Statement, **said: Any) -> HttpResponse:
    sent = {"key": uuid7(), "outcome": "refused", "reason": "He says the tank was full.", **said}
    return client.post(f"/statement/{statement.pk}/unsigned/", sent)  # type: ignore[return-value]


def test_refused_with_a_reason(as_callum: Client, priced: Statement) -> None:
    unsigned(as_callum, priced)
    text = as_callum.get(f"/rental/{priced.rental_id}/statement/").text
    assert "<b>Refused to sign.</b>&nbsp;He says the tank was full." in text


def test_refused_without_a_reason(as_callum: Client, priced: Statement) -> None:
    answer = unsigned(as_callum, priced, reason=" ")
    assert "Unsigned needs its reason" in answer.text  # type: ignore[attr-defined]
    assert answer.status_code == 422


def test_refused_and_countersigned_is_settled(as_callum: Client, priced: Statement) -> None:
    unsigned(as_callum, priced)
    sign(as_callum, priced, "staff")
    assert Record.objects.filter(statement=priced).exists()


def settle(client: Client, statement: Statement) -> HttpResponse:
    return client.post(f"/statement/{statement.pk}/settle/", {"key": uuid7()})  # type: ignore[return-value]


def test_settled_without_signatures_cannot_be(as_callum: Client, priced: Statement) -> None:
    answer = settle(as_callum, priced)
    assert "Still to sign: customer and staff." in answer.text  # type: ignore[attr-defined]


def test_both_signed_but_not_settled_can_be(as_callum: Client, priced: Statement) -> None:
    sign(as_callum, priced, "staff")
    sign(as_callum, priced, "customer")
    assert "Both have signed" in as_callum.get(f"/rental/{priced.rental_id}/statement/").text
    assert settle(as_callum, priced).url.startswith("/record/")  # type: ignore[attr-defined]


ACTS = ["sign", "unsigned", "settle"]


@pytest.mark.parametrize("act", ACTS)
def test_needs_its_right(as_maeve: Client, priced: Statement, act: str) -> None:
    assert as_maeve.post(f"/statement/{priced.pk}/{act}/").status_code == 403


@pytest.mark.parametrize("act", ACTS)
def test_another_branch_is_not_there(as_ida: Client, priced: Statement, act: str) -> None:
    assert as_ida.post(f"/statement/{priced.pk}/{act}/").status_code == 404


@pytest.mark.parametrize("act", ACTS)
def test_only_by_post(as_callum: Client, priced: Statement, act: str) -> None:
    assert as_callum.get(f"/statement/{priced.pk}/{act}/").status_code == 405
