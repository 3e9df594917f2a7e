"""Who gets to which page of the setting-up desk, and what there is for them there."""

import pytest
from django.contrib import admin
from django.urls import reverse

from fleet.models import Branch, Posting, Unit
from shared.access.models import Person
from tests.factories import (
    ExtraOfferFactory,
    PersonFactory,
    PortAverilFactory,
    RateCardFactory,
    RentalFactory,
    UnitFactory,
)

# list, adding: what each role may at each kind of row; the numbers are the answers of the server.
PAGES = {
    "axes_accessattempt": {"coordinator": (403, 403), "administrator": (200, 403)},
    "consumables_fill": {"coordinator": (200, 403), "administrator": (200, 403)},
    "consumables_tankcurve": {"coordinator": (200, 200), "administrator": (200, 200)},
    "fleet_branch": {"coordinator": (200, 403), "administrator": (200, 200)},
    "fleet_layout": {"coordinator": (200, 200), "administrator": (200, 200)},
    "fleet_station": {"coordinator": (200, 200), "administrator": (200, 200)},
    "fleet_topic": {"coordinator": (200, 200), "administrator": (200, 200)},
    "fleet_unit": {"coordinator": (200, 200), "administrator": (200, 200)},
    "handover_customerterms": {"coordinator": (200, 403), "administrator": (200, 200)},
    "handover_ratecard": {"coordinator": (200, 200), "administrator": (200, 200)},
    "handover_extraoffer": {"coordinator": (200, 200), "administrator": (200, 200)},
    "handover_rental": {"coordinator": (200, 403), "administrator": (200, 403)},
    "shared_person": {"coordinator": (403, 403), "administrator": (200, 200)},
    "shared_device": {"coordinator": (403, 403), "administrator": (200, 403)},
}
KEPT_OUT = ["host", "return_bay", "manager"]


@pytest.fixture
def staff(inverlark, client):
    def sign_in(role):
        person = PersonFactory(username=f"a-{role}", role=role)
        client.force_login(person)
        return person

    return sign_in


def test_every_page_is_in_the_table():
    kinds = {f"{model._meta.app_label}_{model._meta.model_name}" for model in admin.site._registry}
    assert kinds == set(PAGES)


@pytest.mark.parametrize("role", ["coordinator", "administrator"])
@pytest.mark.parametrize("kind", PAGES)
def test_list_and_adding(staff, client, kind, role):
    staff(role)
    answers = tuple(client.get(reverse(f"admin:{kind}_{page}")).status_code for page in ("changelist", "add"))
    assert answers == PAGES[kind][role]


@pytest.mark.parametrize("role", KEPT_OUT)
@pytest.mark.parametrize("page", ["index", *(f"{kind}_changelist" for kind in PAGES)])
def test_other_roles_are_kept_out(staff, client, page, role):
    staff(role)
    assert client.get(reverse(f"admin:{page}"), follow=True).status_code == 403


@pytest.mark.parametrize("role", ["coordinator", "administrator"])
def test_the_index_opens(staff, client, role):
    staff(role)
    page = client.get(reverse("admin:index"))
    assert page.status_code == 200
    assert (b"People" in page.content) == (role == "administrator")


def test_who_is_not_signed_in_signs_in_first(client, db):
    page = client.get(reverse("admin:index"), follow=True)
    assert page.redirect_chain[-1][0].startswith(reverse("sign-in"))


def test_who_left_is_kept_out(staff, client):
    person = staff("administrator")
    Person.objects.filter(pk=person.pk).update(is_active=False)
    assert client.get(reverse("admin:index"), follow=True).status_code != 403
    assert "admin" not in client.get(reverse("admin:index"), follow=True).redirect_chain[-1][0]


FAR = [UnitFactory, RateCardFactory, ExtraOfferFactory, RentalFactory]


def far_row(factory):
    """A row of the branch where the person does not work."""
    branch = PortAverilFactory()
    own = {"number": "266", "branch": branch} if factory is UnitFactory else {"branch": branch}
    return factory(**own)


@pytest.mark.parametrize("factory", FAR)
def test_another_branchs_row_does_not_exist(staff, client, factory):
    staff("coordinator")
    row = far_row(factory)
    kind = f"{row._meta.app_label}_{row._meta.model_name}"
    page = client.get(reverse(f"admin:{kind}_change", args=[row.pk]), follow=True)
    assert page.redirect_chain == [(reverse("admin:index"), 302)]
    listed = client.get(reverse(f"admin:{kind}_changelist"))
    assert row not in listed.context["cl"].queryset


def test_only_ones_own_branches_can_be_chosen(staff, client):
    staff("coordinator")
    PortAverilFactory()
    form = client.get(reverse("admin:fleet_unit_add")).context["adminform"].form
    assert [branch.code for branch in form.fields["branch"].queryset] == ["inverlark"]


def test_a_unit_cannot_be_sent_to_another_branch_by_hand(staff, client, unit_407):
    staff("coordinator")
    far = PortAverilFactory()
    data = {"number": "118", "plate": "LRK 118", "branch": far.pk, "layout": unit_407.layout_id}
    page = client.post(reverse("admin:fleet_unit_add"), data | {"odometer_km": 1, "in_service_on": "2025-01-01"})
    assert "branch" in page.context["adminform"].form.errors
    assert not Unit.objects.filter(number="118").exists()


def test_a_new_branch_is_its_makers_own(staff, client):
    person = staff("administrator")
    data = {
        "name": "Strathbeg", "code": "strathbeg", "prefix": "SB", "operator": "Larkmoor Campers",
        "zone": "Europe/London", "locale": "en_GB", "currency": "GBP", "tax_name": "VAT", "tax_mode": "inclusive",
        "tax_rate": "0.2", "tax_rounding": "per_line", "tax_outside_scope": "[]", "unit_system": "uk",
        "country": "GB", "traffic_side": "left", "idle_minutes": "5", "objection_days": "14", "dispute_days": "14",
    }  # fmt: skip
    formsets = {
        f"{name}-{part}_FORMS": 0
        for name in ("opening_hours", "closed_dates", "emergency_steps", "night_places")
        for part in ("TOTAL", "INITIAL")
    }
    page = client.post(reverse("admin:fleet_branch_add"), data | formsets)
    assert page.status_code == 302
    assert Posting.objects.filter(person=person, branch=Branch.objects.get(code="strathbeg")).exists()
