"""A later seal vouches for an earlier one, and says so in a form that anybody can check."""

import json
from datetime import timedelta
from io import StringIO
from unittest.mock import patch

import pytest
from django.core.management import CommandError, call_command

from handover.dayseal.sealing import seal_days
from shared.canonical import canonical_text
from shared.ledger.day_document import read_document
from shared.ledger.history import NotOneHistory, history_proof
from shared.ledger.merkle import is_consistent, is_included
from shared.ledger.models import DaySeal
from tests.dayseal.conftest import MONDAY, NOW
from tests.ledger.forcing import force


@pytest.fixture
def seals(write) -> list[DaySeal]:
    """Of five days."""
    for day in range(5):
        with patch("django.utils.timezone.now", return_value=MONDAY + timedelta(days=day)):
            write()
    return list(seal_days(now=NOW))


@pytest.mark.parametrize(("one", "other"), [(0, 1), (0, 4), (1, 2), (2, 4), (3, 4)])
def test_who_keeps_both_sheets_can_check(seals, one, other):
    told = history_proof(seals[one], seals[other])
    before, after = told["from"], told["to"]
    tree = bytes.fromhex(after["history"]["root"])
    way = [bytes.fromhex(part) for part in told["inclusion"]["proof"]]
    leaf = bytes.fromhex(before["document_sha256"])
    assert is_included(leaf, told["inclusion"]["position"], after["history"]["size"], way, tree)
    if one:
        parts = [bytes.fromhex(part) for part in told["consistency"]]
        old = bytes.fromhex(before["history"]["root"])
        assert is_consistent(before["history"]["size"], after["history"]["size"], parts, old, tree)


def test_an_earlier_seal_does_not_go_on_from_a_later_one(seals):
    with pytest.raises(NotOneHistory, match="is not before"):
        history_proof(seals[1], seals[1])


def test_a_seal_made_anew_is_not_vouched_for(seals):
    said = read_document(seals[1].document)
    force("UPDATE shared_dayseal SET document = %s WHERE number = 2", canonical_text({**said, "entries": 7}))
    with pytest.raises(NotOneHistory, match="is not in its history"):
        history_proof(DaySeal.objects.get(number=2), seals[3])


def test_a_history_made_anew_is_not_the_same(seals):
    said = read_document(seals[0].document)
    force("UPDATE shared_dayseal SET document = %s WHERE number = 1", canonical_text({**said, "entries": 7}))
    with pytest.raises(NotOneHistory):
        history_proof(seals[2], seals[4])


def test_the_command(seals):
    out = StringIO()
    call_command("prove_history", "2026-08-18", "2026-08-20", stdout=out)
    assert json.loads(out.getvalue()) == history_proof(seals[1], seals[3])
    for days, why in ((("2026-08-20", "2026-08-18"), "is not before"), (("2026-08-18", "2027-01-01"), "has no seal")):
        with pytest.raises(CommandError, match=why):
            call_command("prove_history", *days)
