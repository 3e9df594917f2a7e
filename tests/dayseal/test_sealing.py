"""Closed days are signed once each, and whatever is changed of a seal is told."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from pyhanko.sign.timestamps import TimestampRequestError

from handover.dayseal.checking import checked, verify_signatures
from handover.dayseal.sealing import seal_days
from handover.record.keys import trusted_roots
from handover.record.seal import timestamper_at
from shared.ledger.day_document import read_document
from shared.ledger.days import SEALS_CHAIN, verify_days
from shared.ledger.models import DaySeal, Entry
from shared.ledger.verifying import verify_all
from tests.dayseal.conftest import MONDAY, NOW
from tests.ledger.forcing import force
from tests.ledger.test_verify_command import verify


def test_each_closed_day_has_its_seal(sealed):
    assert [seal.day for seal in sealed] == [MONDAY.date(), MONDAY.date() + timedelta(days=1)]
    assert list(verify_all()) == list(verify_days()) == list(verify_signatures()) == []


def test_sealed_again_nothing_is_done(sealed):
    assert list(seal_days(now=NOW)) == []
    assert DaySeal.objects.count() == 2


def test_the_ledger_tells_of_each_seal(sealed):
    assert Entry.objects.filter(chain=SEALS_CHAIN, kind="day.sealed").count() == 2


def test_a_day_alone(written):
    assert [seal.day for seal in seal_days(now=NOW, only=MONDAY.date())] == [MONDAY.date()]


def test_of_two_runs_at_once_one_keeps_the_day(written, monkeypatch):
    from handover.dayseal import sealing

    first = sealing._sealed

    def while_another_runs(day, **given):
        made = first(day, **given)
        monkeypatch.setattr(sealing, "_sealed", first)
        list(seal_days(now=NOW))
        return made

    monkeypatch.setattr(sealing, "_sealed", while_another_runs)
    assert list(seal_days(now=NOW)) == []
    assert DaySeal.objects.count() == 2


def test_an_authority_that_does_not_answer_leaves_the_day_for_later(written):
    with pytest.raises(TimestampRequestError):
        list(seal_days(now=NOW, timestamper=timestamper_at("http://127.0.0.1:9/tsa")))
    assert not DaySeal.objects.exists()


@pytest.mark.parametrize("at", [5, 40, 200, -1, -30])
def test_a_flipped_byte_of_the_signature_is_told(sealed, at):
    signature = bytearray(sealed[0].signature)
    signature[at] ^= 1
    force("UPDATE shared_dayseal SET signature = %s WHERE number = 1", bytes(signature))
    found = [*verify_signatures()]
    assert found
    assert all(said.startswith("Day seal 1, 2026-08-17: ") for said in found)
    assert any("shared.dayseal:1 is not what was recorded" in said for said in verify_all())


def test_a_signature_over_another_document_is_told(sealed):
    force("UPDATE shared_dayseal SET signature = %s WHERE number = 1", bytes(sealed[1].signature))
    assert list(verify_signatures()) == ["Day seal 1, 2026-08-17: its signature is over another document."]


def test_a_seal_of_another_key_is_told(sealed, tmp_path, settings):
    settings.VAR_DIR = tmp_path
    assert "leads to none of the operator's roots" in next(verify_signatures())


def test_a_stamp_is_checked(written, stamper, monkeypatch):
    seals = list(seal_days(now=NOW, timestamper=stamper))
    assert "leads to none of the roots" in next(verify_signatures())
    monkeypatch.setattr(
        "handover.dayseal.checking.trusted_roots", lambda: [*trusted_roots(), stamper.tsa_cert]
    )  # fmt: skip
    assert list(verify_signatures()) == []
    assert "Larkmoor clock saw the signature on" in " ".join(checked(seals[0]).sentences)
    force("UPDATE shared_dayseal SET stamp = %s WHERE number = 1", bytes(seals[1].stamp))
    assert "time stamp" in next(verify_signatures())


def test_all_seals_taken_away_are_missed(sealed):
    force("DELETE FROM shared_dayseal")
    assert [*verify_all()] == ["shared.dayseal:1 is gone.", "shared.dayseal:2 is gone."]


def test_a_day_that_holds_says_so(sealed):
    verdict = checked(sealed[1])
    assert verdict.valid
    assert verdict.sentences[0] == "1 entries in 1 chains stand as they were recorded."


def test_a_day_whose_entry_was_changed_says_so(sealed):
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 1 AND kind = 'reading.taken'")
    verdict = checked(sealed[0])
    assert not verdict.valid
    assert any("is not what was recorded" in sentence for sentence in verdict.sentences)


def said(*arguments: str) -> str:
    out = StringIO()
    call_command("seal_day", *arguments, stdout=out)
    return out.getvalue()


def test_the_command_seals_and_says_what(written):
    first, second, last = said().splitlines()
    assert first.startswith("2026-08-17: 2 entries, 2 chains, root ")
    assert second.startswith("2026-08-18: 1 entries, 1 chains, root ")
    assert last == "2 days are sealed; 2 entries since the last seal."
    assert said() == "2 days are sealed; 2 entries since the last seal.\n"


def test_a_day_that_is_not_over_cannot_be_sealed(written):
    with pytest.raises(CommandError, match="2126-08-22 is not sealed"):
        said("--day", "2126-08-22")


def test_verify_ledger_of_one_day(sealed):
    assert verify("--day", "2026-08-17")[0] == 0
    assert verify("--day", "2026-08-19") == (
        1,
        "2026-08-19 has no seal. manage.py seal_day seals a day when it is over and something was written on it.\n"
        "The ledger does not hold: 1 found in 0 entries.\n",
    )
    force("UPDATE shared_entry SET device = 'tablet 9' WHERE sequence = 2 AND kind = 'reading.taken'")
    assert verify("--day", "2026-08-18")[0] == 1


def test_verify_ledger_says_what_is_not_sealed(sealed):
    assert verify()[1].splitlines()[1] == "2 day seals, the last of 2026-08-18; 2 entries since the last seal."


def test_the_root_is_in_the_document(sealed):
    assert len(read_document(sealed[0].document)["root"]) == 64
