"""A token proves who was signed in on which tablet, long after the session is over."""

import pytest
from django.core import signing
from django.utils import timezone

from handover.acting import CannotBe
from handover.tablet.devices import device_id_of, device_of, proven, token_for
from shared.access.models import Device, Person
from tests.tablet.conftest import TABLET_2


def test_the_first_sign_in_makes_the_device(isla: Person, callum: Person) -> None:
    made, again = device_of(TABLET_2, isla), device_of(TABLET_2, callum)
    assert (made, again.made_by, Device.objects.count()) == (again, isla, 1)


def test_an_id_is_a_uuid_and_never_text(isla: Person) -> None:
    device_id = device_id_of(str(TABLET_2))
    assert device_of(device_id, isla).pk == device_of(device_id, isla).pk == TABLET_2


@pytest.mark.parametrize("text", [None, "", "tablet 2", 7, ["01990000-0000-7000-8000-000000000002"]])
def test_what_is_no_id(text: object) -> None:
    with pytest.raises(CannotBe, match="did not say which it is"):
        device_id_of(text)


def test_a_token_proves_its_person(isla: Person, tablet_2: Device) -> None:
    assert proven(token_for(isla, tablet_2), tablet_2) == isla


def test_a_token_of_another_tablet_proves_nothing(isla: Person, tablet_2: Device, tablet_3: Device) -> None:
    assert proven(token_for(isla, tablet_3), tablet_2) is None


def test_a_forged_token_proves_nothing(isla: Person, tablet_2: Device) -> None:
    said = {"device": str(tablet_2.pk), "person": str(isla.pk)}
    assert proven(signing.dumps(said, salt="another"), tablet_2) is None
    assert proven(token_for(isla, tablet_2)[:-1], tablet_2) is None
    assert proven("", tablet_2) is None


def test_a_revoked_tablet_proves_nothing_more(isla: Person, ruth: Person, tablet_2: Device) -> None:
    before = token_for(isla, tablet_2)
    tablet_2.revoked_at, tablet_2.revoked_by = timezone.now(), ruth
    tablet_2.save()
    assert proven(before, tablet_2) is None
    assert token_for(isla, tablet_2) == ""
