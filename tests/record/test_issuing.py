"""Records come out of the actions, sealed, and say what the ledger says."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import TestCase

from handover.counter.actions import object_to_line
from handover.record.actions import new_code
from handover.record.keys import trusted_roots
from handover.record.models import Record
from handover.record.verify import Verdict, verify
from handover.rental.models import Rental
from handover.statement.actions import draw_up, settle, sign_statement
from shared.canonical import digest
from shared.files.store import read
from shared.ledger.models import Entry
from tests.factories import BACK_AT, ExtraOfferFactory, PersonFactory, RentalFactory, an_act
from tests.playing import STROKES, come_back, go

pytestmark = pytest.mark.django_db
LATER = BACK_AT + timedelta(hours=3)


@pytest.fixture(scope="module")
def settled(kept_for_module: None) -> Rental:
    """One rental from pickup to settled, its records made."""
    isla, callum = PersonFactory(), PersonFactory(username="callum", role="return_bay")
    rental = RentalFactory(extras=[ExtraOfferFactory()])
    with TestCase.captureOnCommitCallbacks(execute=True):
        go(rental, isla, diesel="82", odometer="41206 mi", gas_front="11.7")
    with TestCase.captureOnCommitCallbacks(execute=True):
        come_back(rental, callum, seal="broken", diesel="47.5", odometer="42018 mi", gas_front="9.1")
        statement = draw_up(rental, act=an_act(callum, at=LATER))
        object_to_line(
            statement, code="LATE", ref="return", title="Late return", words="I called at ten.",
            act=an_act(callum, at=LATER),
        )  # fmt: skip
        for role in ("customer", "staff"):
            sign_statement(
                statement, role=role, name=role, strokes=STROKES, seen_sha256=statement.digest,
                act=an_act(callum, at=LATER),
            )  # fmt: skip
        settle(statement, act=an_act(callum, at=LATER))
    return rental


def record(rental: Rental, kind: str) -> Record:
    made = Record.objects.get(rental=rental, kind=kind)
    assert made.state == "ready", made.problem
    return made


def checked(made: Record) -> tuple[Verdict, dict[str, Any]]:
    verdict = verify(read(made.file), roots=trusted_roots())
    return verdict, json.loads(verdict.record_json or b"{}")


def test_both_are_valid_and_the_second_names_the_first(settled: Rental) -> None:
    pickup, back = record(settled, "pickup"), record(settled, "return")
    assert checked(pickup)[0].valid
    verdict, document = checked(back)
    assert verdict.valid
    assert document["previous"]["sha256"] == pickup.pdf_sha256 == back.previous_sha256


def entries(rental: Rental, kind: str) -> list[dict[str, Any]]:
    """What the ledger says of the rental under this kind, with the walk-round's own kind."""
    walks = {str(walk.pk): walk.kind for leg in rental.legs.all() for walk in leg.walk_rounds.all()}
    rows = Entry.objects.filter(chain=rental.pk, kind=kind).order_by("sequence")
    payloads = [json.loads(row.payload) for row in rows]
    return [payload | {"walk": walks[payload["walk"]]} for payload in payloads]


def printed(document: dict[str, Any], what: str) -> list[tuple[str, dict[str, Any]]]:
    """The answered rows of the attachment, by walk-round."""
    return [
        (walk["kind"], row)
        for walk in document["walk_rounds"]
        for station in walk["stations"]
        for row in station[what]
        if row["at"]
    ]


def test_the_attachments_readings_are_the_ledgers(settled: Rental) -> None:
    document = checked(record(settled, "return"))[1]
    said = {(walk, row["code"], row["typed"], row["value"], row["unit"]) for walk, row in printed(document, "readings")}
    kept = {
        (row["walk"], row["code"], row["typed"], row["shown"]["value"], row["shown"]["unit"])
        for row in entries(settled, "reading.taken")
    }
    assert said == kept
    assert len(said) == 6


def test_the_attachments_seals_and_topics_are_the_ledgers(settled: Rental) -> None:
    document = checked(record(settled, "return"))[1]
    seals = [(walk, row["kit"], row["state"], row["found_number"]) for walk, row in printed(document, "seals")]
    topics = [(walk, row["title"], row["outcome"], row["seconds"]) for walk, row in printed(document, "topics")]
    assert seals == [(e["walk"], e["kit"], e["state"], e["seal_number"]) for e in entries(settled, "seal.checked")]
    assert topics == [(e["walk"], e["topic"], e["outcome"], e["seconds"]) for e in entries(settled, "topic.heard")]


def test_an_objection_stands_in_the_customers_words(settled: Rental) -> None:
    statement = checked(record(settled, "return"))[1]["statement"]
    assert [(row["line"], row["words"]) for row in statement["objections"]] == [("Late return", "I called at ten.")]
    assert statement["reopened"] is None


def test_the_ledgers_digests_are_the_statements(settled: Rental) -> None:
    document = checked(record(settled, "return"))[1]
    drawn_up = json.loads(Entry.objects.get(chain=settled.pk, kind="statement.drawn_up").payload)
    assert digest(document["statement"]["result"]) == drawn_up["result_sha256"]
    assert digest(document["statement"]["inputs"]) == drawn_up["inputs_sha256"]


def test_the_ledger_keeps_the_records_digest(settled: Rental) -> None:
    made = [json.loads(entry.payload) for entry in Entry.objects.filter(kind="record.made").order_by("sequence")]
    assert [row["pdf_sha256"] for row in made] == [
        record(settled, "pickup").pdf_sha256,
        record(settled, "return").pdf_sha256,
    ]


def test_the_position_in_the_ledger_is_printed(settled: Rental) -> None:
    position = checked(record(settled, "pickup"))[1]["ledger"]
    entry = Entry.objects.get(chain=settled.pk, sequence=position["last"])
    assert entry.digest == position["digest"]


def test_codes_are_not_guessable() -> None:
    codes = {new_code() for _ in range(500)}
    assert len(codes) == 500
    assert all(len(code) == 9 and not set(code) & set("01OILS") - {"-"} for code in codes)
