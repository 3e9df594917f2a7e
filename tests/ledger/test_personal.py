import pytest

from shared.ledger.models import PersonalValue
from shared.ledger.personal import forget, personal, personal_digest, recall
from shared.ledger.verifying import verify_all
from tests.ledger.conftest import Write
from tests.ledger.forcing import run

pytestmark = pytest.mark.django_db


def test_payload_states_a_digest_and_no_name() -> None:
    reference = personal("Catriona Bell", kind="customer.name")
    assert reference.keys() == {"kind", "digest"}
    assert "Catriona" not in str(reference)


def test_value_can_be_read_by_its_digest() -> None:
    assert recall(personal("Catriona Bell", kind="customer.name")["digest"]) == "Catriona Bell"


def test_equal_values_cannot_be_told() -> None:
    assert personal("7", kind="x.y")["digest"] != personal("7", kind="x.y")["digest"]


def test_digest_is_the_salted_sha_256() -> None:
    reference = personal("Catriona Bell", kind="customer.name")
    kept = PersonalValue.objects.get()
    assert len(kept.salt) == 64
    assert personal_digest("customer.name", kept.salt, "Catriona Bell") == reference["digest"]


def test_digest_has_a_fixed_form() -> None:
    """printf '{"kind":"customer.name","salt":"00","value":"Bell"}' | sha256sum"""
    assert personal_digest("customer.name", "00", "Bell") == (
        "74e2feabc4368d11980a135df884322b97503ce322b31a1ee3609717dc065e0c"
    )


def test_erased_value_is_gone_and_the_ledger_holds(write: Write) -> None:
    reference = personal("Catriona Bell", kind="customer.name")
    write(payload={"customer": reference})
    assert forget(reference["digest"])
    write(kind="person.erased")
    kept = PersonalValue.objects.get()
    assert (kept.value, kept.salt, recall(reference["digest"])) == ("", "", None)
    assert list(verify_all()) == []


def test_value_is_erased_once() -> None:
    digest = personal("Catriona Bell", kind="customer.name")["digest"]
    assert [forget(digest), forget(digest)] == [True, False]


def test_altered_value_is_found() -> None:
    personal("Catriona Bell", kind="customer.name")
    run("UPDATE shared_personalvalue SET value = 'Fergus Bell'")
    kept = PersonalValue.objects.get()
    assert list(verify_all()) == [
        f"Personal value {kept.pk} (customer.name) is not the one that digest {kept.digest} was taken of."
    ]


def test_unknown_digest_is_no_erased_one() -> None:
    with pytest.raises(PersonalValue.DoesNotExist):
        recall("0" * 64)
