"""Sheets of paper: numbered, keyed in once, and what cannot be is said where it was typed."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from handover.paper.models import PaperSheet
from handover.rental.models import Rental
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import RentalFactory, UnitFactory
from tests.photos.pictures import quarters, saved
from tests.stories.conftest import It, it_is
from tests.stories.steps import browser_of, does, page_of, sees, tries, wall

pytestmark = pytest.mark.django_db
__all__ = ["it_is"]
MOST = 15


@pytest.fixture
def rental(it_is: It) -> Rental:
    return RentalFactory(leg=UnitFactory())


@pytest.fixture
def sheet(rental: Rental, isla: Person, it_is: It) -> PaperSheet:
    """The first of three, on the morning after."""
    does(isla, "print-paper", "inverlark", layout=rental.legs.get().unit.layout_id, many="3")
    it_is("15 Aug 2026 09:00")
    return PaperSheet.objects.get(number=1)


def said_on(rental: Rental, **changed: Any) -> dict[str, Any]:
    times = {"begun_at": wall("14 Aug 2026 09:50"), "gone_at": wall("14 Aug 2026 10:20")}
    scan = SimpleUploadedFile("sheet.jpg", saved(quarters(), "JPEG"), content_type="image/jpeg")
    return {"leg": rental.legs.get().pk, "scan": scan, **times, **changed}


@pytest.mark.parametrize("many", ["0", "51", "-1", "many", ""])
def test_so_many_are_not_printed(rental: Rental, isla: Person, many: str) -> None:
    layout = rental.legs.get().unit.layout_id
    assert tries(isla, "print-paper", "inverlark", layout=layout, many=many).status_code == 422
    assert not PaperSheet.objects.exists()


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"leg": ""}, "Choose the rental on the sheet."),
        ({"begun_at": ""}, "Give the time on the sheet."),
        ({"gone_at": "2026-08-15T10:00"}, "That is still to come."),
        ({"gone_at": "2026-08-14T08:00"}, "It cannot have ended before it began."),
        ({"scan": ""}, "Take a photo of the sheet: the signatures stand on it."),
    ],
)
def test_what_cannot_be_on_a_sheet(
    rental: Rental, sheet: PaperSheet, isla: Person, changed: dict[str, Any], sentence: str
) -> None:
    answer = tries(isla, "key-in-paper", sheet.pk, **said_on(rental, **changed))
    assert answer.status_code == 422
    assert sentence in page_of(answer)
    assert not WalkRound.objects.exists()
    assert PaperSheet.objects.get(number=1).ended_at is None


def test_keyed_in_once(rental: Rental, sheet: PaperSheet, isla: Person) -> None:
    does(isla, "key-in-paper", sheet.pk, **said_on(rental))
    again = tries(isla, "key-in-paper", sheet.pk, **said_on(RentalFactory(leg=UnitFactory(number="409"))))
    assert again.status_code == 422
    assert "It was said already what became of sheet 1." in page_of(again)
    assert WalkRound.objects.count() == 1


def test_of_another_branch_it_is_not_there(sheet: PaperSheet, ida: Person) -> None:
    assert browser_of(ida).get(f"/paper/{sheet.pk}/key-in/").status_code == 404


def test_its_pages_in_a_fixed_number_of_queries(
    rental: Rental, sheet: PaperSheet, isla: Person, django_assert_max_num_queries: Any
) -> None:
    does(isla, "key-in-paper", sheet.pk, **said_on(rental))
    browser = browser_of(isla)
    for address in ("/branch/inverlark/paper/", f"/paper/{PaperSheet.objects.get(number=2).pk}/key-in/"):
        with django_assert_max_num_queries(MOST):
            assert browser.get(address).status_code == 200
    assert "Source: paper." in sees(isla, "paper-sheets", "inverlark")
