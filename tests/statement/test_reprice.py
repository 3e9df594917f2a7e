"""manage.py reprice: every stored statement comes out again, or is named."""

import json
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import call_command

from handover.ratecard.repricing import Stored, differences, digests
from handover.ratecard.stored import statements_since, stored_in_chunks
from handover.rental.models import Rental
from handover.statement.actions import draw_up
from handover.statement.models import Statement
from shared.access.models import Person
from shared.canonical import canonical_text, sha256_hex
from shared.ids import uuid7
from tests.factories import BACK_AT, RentalFactory, an_act
from tests.playing import come_back, go

pytestmark = pytest.mark.django_db
LATER = BACK_AT + timedelta(hours=3)


@pytest.fixture
def statement(isla: Person, callum: Person) -> Statement:
    """31.5 L of fuel and two late hours: 51.03 + 50.00."""
    rental: Rental = RentalFactory()
    go(rental, isla, diesel="82")
    come_back(rental, callum, diesel="47.5")
    return draw_up(rental, act=an_act(callum, at=LATER))


def reprice(capsys: Any, **options: Any) -> tuple[int, str]:
    """Exit code and what was said."""
    code = 0
    try:
        call_command("reprice", **{"processes": 1} | options)
    except SystemExit as end:
        code = int(end.code or 0)
    return code, capsys.readouterr().out


def kept_as(statement: Statement, result: str) -> None:
    Statement.objects.filter(pk=statement.pk).update(result=result, digest=sha256_hex(result.encode()))


def copies(statement: Statement, count: int) -> None:
    """Later versions, each as the first."""
    for version in range(2, count + 2):
        statement.pk, statement.version = uuid7(), version
        statement.save(force_insert=True)


def test_nothing_differs(statement: Statement, capsys: Any) -> None:
    assert reprice(capsys) == (0, "0 differences: 1 statement priced again, each as it was.\n")


def test_another_total_is_named_with_both(statement: Statement, capsys: Any) -> None:
    kept_as(statement, statement.result.replace('"total":"101.03"', '"total":"99.00"'))
    code, said = reprice(capsys)
    assert code == 1
    assert said.startswith(f"{statement.rental.number}, version 1: priced again it is 101.03, kept is 99.00.\n")
    assert said.endswith("1 difference in 1 statement.\n")


def test_other_workings_under_the_same_total_are_a_difference(statement: Statement, capsys: Any) -> None:
    kept_as(statement, statement.result.replace('"47.5"', '"47.4"'))
    code, said = reprice(capsys)
    assert (code, "the total of 101.03 is the same" in said) == (1, True)


def test_a_result_that_its_digest_does_not_fit_is_named(statement: Statement, capsys: Any) -> None:
    Statement.objects.update(result=statement.result.replace("51.03", "51.04"))
    assert "what is kept is not what was signed" in reprice(capsys)[1]


def test_inputs_that_cannot_be_priced_are_named(statement: Statement, capsys: Any) -> None:
    inputs = json.loads(statement.inputs)
    del inputs["currency"]
    Statement.objects.update(inputs=canonical_text(inputs))
    code, said = reprice(capsys)
    assert (code, "it can no longer be priced. currency: This key is missing" in said) == (1, True)


def test_other_rules_are_said(statement: Statement, capsys: Any) -> None:
    kept_as(statement, statement.result.replace('"rules_version":"', '"rules_version":"0.'))
    Statement.objects.update(rules_version="0.1")
    assert "Rules 0.1 then," in reprice(capsys)[1]


def test_only_what_was_drawn_up_since(statement: Statement, capsys: Any) -> None:
    since = (LATER + timedelta(days=1)).date()
    assert reprice(capsys, since=since)[1].startswith("0 differences: 0 statements")
    assert reprice(capsys, since=LATER.date())[1].startswith("0 differences: 1 statement ")


@pytest.mark.parametrize("processes", ["0", "-1", "two"])
def test_so_many_processes_cannot_be(processes: str) -> None:
    with pytest.raises(Exception, match="cannot be; 1 or more can"):
        call_command("reprice", "--processes", processes)


def test_chunks_hold_every_statement_once(statement: Statement) -> None:
    copies(statement, 6)
    chunks = list(stored_in_chunks(statements_since(None), size=3))
    assert [len(chunk) for chunk in chunks] == [3, 3, 1]
    assert sorted(row.version for chunk in chunks for row in chunk) == [1, 2, 3, 4, 5, 6, 7]


def test_two_queries_a_chunk(statement: Statement, django_assert_num_queries: Any) -> None:
    """And the one that finds no more."""
    copies(statement, 3)
    with django_assert_num_queries(5):
        list(stored_in_chunks(statements_since(None), size=2))


def test_two_processes_say_the_same_in_the_same_order(statement: Statement) -> None:
    good = next(iter(stored_in_chunks(statements_since(None))))[0]
    wrong = Stored("LK-1", 1, good.inputs, "{}", good.rules_version, good.digest)
    chunks = [[good, wrong], [good], [wrong], [good], [good, good], [wrong]]
    assert list(differences(chunks, processes=2)) == list(differences(chunks, processes=1))


def test_a_worker_gives_the_digest_that_is_kept(statement: Statement) -> None:
    assert digests([statement.inputs, "no JSON"]) == [statement.digest, ""]


def test_no_more_is_fetched_than_can_be_priced(statement: Statement) -> None:
    """Before the first answer only what fits the workers' queues was taken from the source."""
    good, taken = next(iter(stored_in_chunks(statements_since(None)))), []

    def source() -> Any:
        for number in range(50):
            taken.append(number)
            yield good

    answers = differences(source(), processes=2)
    next(answers)
    assert len(taken) == 4
    answers.close()
