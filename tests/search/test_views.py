"""Saved views: kept, shown, renamed, removed; one's own or shared with a branch by its manager."""

from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from fleet.models import Branch
from handover.rental.models import Rental
from handover.search.models import SavedView
from handover.search.saving import MOST
from shared.access.models import Person
from shared.ids import uuid7
from tests.search.test_finding import found


def keep(client: Client, name: str = "Late", status: int = 302, key: UUID | None = None, **said: str) -> str:
    answer = client.post(reverse("keep-view"), {"key": key or uuid7(), "name": name, "q": "late"} | said)
    assert answer.status_code == status
    return answer.headers.get("Location", "") or answer.text


def test_a_view_is_kept_and_stands_on_the_page(as_isla: Client, booked: Rental) -> None:
    where = keep(as_isla, "Late  in August", q="late", kind="e", start="2026-08-01", state="back")
    assert where == "/search/?q=late&kind=e&start=2026-08-01&state=back"
    view = SavedView.objects.get()
    assert (view.name, view.phrase, view.narrowed) == (
        "Late in August", "late", {"kind": "e", "start": "2026-08-01", "state": "back"},
    )  # fmt: skip
    page = found(as_isla, "")
    assert 'href="/search/?q=late&amp;kind=e&amp;start=2026-08-01&amp;state=back">Late in August' in page


def test_sent_twice_it_is_kept_once(as_isla: Client, inverlark: Branch) -> None:
    key = uuid7()
    for _ in range(2):
        keep(as_isla, key=key)
    assert SavedView.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"name": "  "}, "Give it a name"),
        ({"name": "L" * 61}, "There is room for 60 letters here; these are 61."),
        ({"name": "a\0b"}, "A zero byte is in this text"),
        ({"name": "Late", "q": ""}, "There is nothing to keep yet."),
        ({"name": "Taken"}, "A view is called Taken already."),
        ({"name": "Late", "q": "%%"}, "There is no letter and no figure"),
        ({"name": "Late", "key": "no key"}, "This form has no key."),
    ],
)
def test_a_view_that_cannot_be(as_isla: Client, inverlark: Branch, said: dict[str, str], sentence: str) -> None:
    keep(as_isla, "Taken")
    answer = as_isla.post(reverse("keep-view"), {"key": str(uuid7()), "q": "late"} | said)
    assert (answer.status_code, sentence in answer.text) == (422, True)
    assert SavedView.objects.count() == 1


def test_not_more_than_can_be_looked_through(as_isla: Client, isla: Person, inverlark: Branch) -> None:
    SavedView.objects.bulk_create(SavedView(person=isla, name=str(n), phrase="x") for n in range(MOST))
    assert "40 views are kept already." in keep(as_isla, status=422)


def test_ones_own_view_is_nobody_elses(as_isla: Client, as_callum: Client, inverlark: Branch) -> None:
    keep(as_isla, "Mine alone")
    view = SavedView.objects.get()
    assert "Mine alone" not in found(as_callum, "")
    assert as_callum.post(reverse("rename-view", args=[view.pk]), {"name": "His"}).status_code == 404
    assert as_callum.post(reverse("remove-view", args=[view.pk])).status_code == 404


def test_a_shared_view_is_the_branchs(as_ruth: Client, as_isla: Client, as_ida: Client) -> None:
    keep(as_ruth, "Look at these", share="inverlark")
    view = SavedView.objects.get()
    page = found(as_isla, "")
    assert "Look at these" in page
    assert "Rename or remove" not in page
    assert "Look at these" not in found(as_ida, "")
    assert as_isla.post(reverse("rename-view", args=[view.pk]), {"name": "Hers"}).status_code == 403
    assert as_ida.post(reverse("remove-view", args=[view.pk])).status_code == 404
    assert as_ruth.post(reverse("rename-view", args=[view.pk]), {"name": "These first"}).status_code == 302
    assert "These first" in found(as_isla, "")


def test_only_a_manager_shares(as_isla: Client, as_ruth: Client) -> None:
    keep(as_isla, status=403, share="inverlark")
    keep(as_isla, status=404, share="port-averil")
    keep(as_ruth, status=404, share="nowhere")
    assert not SavedView.objects.exists()


def test_what_looks_elsewhere_is_not_shared_here(as_ruth: Client) -> None:
    assert "This looks in another branch" in keep(as_ruth, status=422, share="inverlark", branch="port-averil")
    keep(as_ruth, share="inverlark", branch="inverlark")


def test_a_view_is_renamed_and_removed(as_isla: Client, inverlark: Branch) -> None:
    keep(as_isla, "One")
    keep(as_isla, "Two")
    view = SavedView.objects.get(name="One")
    taken = as_isla.post(reverse("rename-view", args=[view.pk]), {"name": "Two"})
    assert (taken.status_code, "A view is called Two already." in taken.text) == (422, True)
    as_isla.post(reverse("rename-view", args=[view.pk]), {"name": "Three"})
    as_isla.post(reverse("remove-view", args=[view.pk]))
    assert [*SavedView.objects.values_list("name", flat=True)] == ["Two"]


def test_a_view_of_a_branch_that_is_no_longer_mine_shows_nothing_of_it(
    as_ruth: Client, ruth: Person, port_averil: Branch, elsewhere: Rental
) -> None:
    keep(as_ruth, "There", q="henrike", branch="port-averil")
    ruth.postings.filter(branch=port_averil).delete()
    assert as_ruth.get("/search/?q=henrike&branch=port-averil").status_code == 404
    assert "There" in found(as_ruth, "")
