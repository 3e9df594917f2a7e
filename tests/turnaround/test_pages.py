"""The board, a unit's jobs, and one job on its page."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from consumables.models import Fill
from handover.turnaround.models import TurnaroundJob
from handover.walkround.models import WalkRound
from shared.ids import uuid7
from tests.factories import RentalFactory

DONE = {"before": "41", "litres": "48.2", "cost": "77.10", "reading": "90", "note": "to the click"}


def posted(client: Client, name: str, where: object, **said: str) -> str:
    answer = client.post(reverse(name, args=[where]), {"key": str(uuid7()), **said}, follow=True)
    return answer.content.decode()


def test_the_board_says_what_blocks_the_next_pickup(back: WalkRound, as_maeve: Client) -> None:
    soon = timezone.now() + timedelta(hours=2)
    rental = RentalFactory(leg=back.leg.unit, planned_out_at=soon, planned_back_at=soon + timedelta(days=3))
    page = as_maeve.get(reverse("turnaround", args=["inverlark"])).content.decode()
    assert "0 of 1 ready" in page
    assert rental.customer.name in page
    assert "about 49 L" in page


def test_the_board_reads_in_a_fixed_number_of_queries(
    back: WalkRound, as_maeve: Client, django_assert_max_num_queries: pytest.FixtureRequest
) -> None:
    with django_assert_max_num_queries(14):  # type: ignore[operator]
        as_maeve.get(reverse("turnaround", args=["inverlark"]))


def test_a_unit_lists_its_jobs(back: WalkRound, as_isla: Client) -> None:
    page = as_isla.get(reverse("unit-jobs", args=["407"])).content.decode()
    assert "Refuel" in page
    assert "Found later" in page


def test_a_job_is_done_with_its_receipt(refuel: TurnaroundJob, as_isla: Client) -> None:
    page = posted(as_isla, "job", refuel.pk, **DONE)
    assert "done, Isla" in page
    assert str(Fill.objects.get().litres) == "48.20"


def test_about_how_much_is_advice_and_says_what_it_rests_on(refuel: TurnaroundJob, as_isla: Client) -> None:
    page = as_isla.get(reverse("job", args=[refuel.pk])).content.decode()
    assert "About how much is advice: reckoned from the reading at the return" in page


def test_what_cannot_be_is_said_and_what_was_typed_stays(refuel: TurnaroundJob, as_isla: Client) -> None:
    page = posted(as_isla, "job", refuel.pk, **(DONE | {"reading": "95"}))
    assert "full at 90 L" in page
    assert 'value="48.2"' in page


def test_no_number_is_told(refuel: TurnaroundJob, as_isla: Client) -> None:
    assert "stop" in posted(as_isla, "job", refuel.pk, **(DONE | {"litres": "a lot"}))
    assert not Fill.objects.exists()


def test_handed_over_on_the_page(refuel: TurnaroundJob, as_maeve: Client) -> None:
    crew = TurnaroundJob.objects.get(pk=refuel.pk).by
    assert crew.short_name in posted(as_maeve, "assign-job", refuel.pk, to=str(crew.pk))


def test_not_needed_without_a_reason_is_asked_again(refuel: TurnaroundJob, as_maeve: Client) -> None:
    assert "the next host reads it" in posted(as_maeve, "job-not-needed", refuel.pk, reason="")


def test_found_later_on_the_page(back: WalkRound, as_isla: Client) -> None:
    assert "Bulb of the step" in posted(as_isla, "add-job", "407", what="Bulb of the step")
    assert "Say what is to do" in posted(as_isla, "add-job", "407", what="")
