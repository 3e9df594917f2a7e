# ruff: noqa: E501 (a bad rule and its sentence belong on one line)
"""Setting up by hand: what can be changed, what is refused and in which words."""

import re

import pytest
from django.urls import reverse

from fleet.models import CheckItem, Kit, Station, UnitInstrument
from handover.rental.models import ExtraOffer, RateCard, Rental
from shared.access.models import Person
from shared.ledger.models import Entry
from tests.factories import RULES, ExtraOfferFactory, LayoutFactory, RateCardFactory, StationFactory


@pytest.fixture
def desk(client, maeve):
    """Maeve, coordinator, at the setting-up desk."""
    client.force_login(maeve)
    return client


@pytest.fixture
def office(client, anders):
    """Anders, administrator, at the setting-up desk."""
    client.force_login(anders)
    return client


def change_url(row):
    return reverse(f"admin:{row._meta.app_label}_{row._meta.model_name}_change", args=[row.pk])


def shown_form(page):
    """Everything that the page would send back as it stands."""
    forms = [page.context["adminform"].form]
    for each in page.context["inline_admin_formsets"]:
        forms += [each.formset.management_form, *each.formset.forms]
    return {name: value for form in forms for name, value in _values(form) if value is not None}


def _values(form):
    for bound in form:
        value = bound.field.prepare_value(bound.initial) if hasattr(bound.field, "prepare_value") else bound.initial
        if value is not False:
            yield bound.html_name, value


def saved(client, row, **changes):
    data = shown_form(client.get(change_url(row))) | changes
    return client.post(change_url(row), data, follow=True)


def errors_of(page):
    return page.context["adminform"].form.errors


def test_a_layout_page_leads_to_its_stations(desk, unit_407):
    page = desk.get(change_url(unit_407.layout)).content.decode()
    for station in unit_407.layout.stations.all():
        assert change_url(station) in page


def test_a_station_shows_everything_done_there(desk, unit_407):
    page = desk.get(change_url(unit_407.layout.stations.get(number=2)))
    models = [each.opts.model.__name__ for each in page.context["inline_admin_formsets"]]
    assert models == ["CheckItem", "Instrument", "Kit", "Equipment", "Topic", "PhotoView"]
    assert b"Smell of gas" in page.content


def test_a_safety_check_needs_its_stop_sentence(desk, unit_407):
    station = unit_407.layout.stations.get(number=2)
    page = saved(desk, station, **{"checkitems-0-stop_sentence": ""})
    assert "A safety check says what to do now when it stops the handover." in page.content.decode()


def test_an_answered_thing_is_retired_not_deleted(desk, unit_407):
    station = unit_407.layout.stations.get(number=2)
    saved(desk, station, **{"checkitems-1-retired": "on"})
    assert CheckItem.objects.get(code="drain").retired


@pytest.mark.parametrize("way", ["[1, 2]", '[["a", 1]]', "{}", "[[1.5, 2]]"])
def test_a_way_that_cannot_be_walked(desk, unit_407, way):
    station = unit_407.layout.stations.get(number=1)
    assert "way" in errors_of(saved(desk, station, way=way))


def test_an_empty_list_stays_a_list(desk, unit_407):
    station = unit_407.layout.stations.get(number=2)
    saved(desk, station, **{"way": "", "kits-0-contents": ""})
    assert Station.objects.get(pk=station.pk).way == []
    assert Kit.objects.get(station=station).contents == []


@pytest.mark.parametrize(("field", "value"), [("currency", "ABC"), ("axles_mm", '["front"]'), ("axles_mm", "[]")])
def test_a_layout_that_cannot_be(desk, unit_407, field, value):
    assert field in errors_of(saved(desk, unit_407.layout, **{field: value}))


def test_a_unit_differs_only_in_things_of_its_own_layout(desk, unit_407):
    other = LayoutFactory(code="machair", name="Machair", stations=[])
    StationFactory(layout=other, name="Gas locker")
    page = desk.get(change_url(unit_407))
    formset = page.context["inline_admin_formsets"][0].formset
    assert formset.model is UnitInstrument
    offered = formset.empty_form.fields["instrument"].queryset
    assert {row.station.layout_id for row in offered} == {unit_407.layout_id}


def test_a_wrong_vin_is_told_at_the_field(desk, unit_407):
    page = saved(desk, unit_407, vin="0LKMACHR5RP000266", vin_has_check_digit="on")
    assert errors_of(page)["vin"] == ["The check digit, place 9, is 5 and by the rest of the VIN must be 6."]


def test_what_was_saved_is_said_plainly(desk, unit_407):
    page = saved(desk, unit_407, odometer_km="70000")
    (message,) = [str(message) for message in page.context["messages"]]
    assert message.endswith("was changed.")
    assert '<a href="' in message


def test_a_new_rate_card_begins_as_the_newest(desk, inverlark):
    RateCardFactory(branch=inverlark, number=7)
    form = desk.get(reverse("admin:handover_ratecard_add")).context["adminform"].form
    assert (form.initial["number"], form.initial["rules"]) == (8, RULES)


@pytest.mark.parametrize(
    ("rules", "sentence"),
    [
        ('{"fuel": {"price_per_liter": "1.62"}}', "fuel.price_per_liter: This key is not known here; the nearest known key is price_per_litre."),
        ('{"fuel": {"price_per_litre": "-1"}}', "fuel.price_per_litre: -1 is below 0"),
        ('{"distance": {"unit": "mi", "included_per_day": "250"}}', "distance.tiers: This key is missing"),
        ('{"late": 5}', "late: This is the number 5; an object in braces is needed here."),
        ("[1]", "The rules are an object in braces"),
        ("{", "Enter a valid JSON."),
    ],
)  # fmt: skip
def test_rules_are_read_as_pricing_reads_them(desk, inverlark, rules, sentence):
    card = RateCardFactory(branch=inverlark, draft=True)
    page = saved(desk, card, rules=rules)
    assert errors_of(page)["rules"][0].startswith(sentence)
    assert RateCard.objects.get().rules == RULES


def test_an_extra_covers_what_pricing_knows(desk, inverlark):
    offer = ExtraOfferFactory(branch=inverlark)
    page = saved(desk, offer, covers='{"limits": {"fuel_liters": "20"}}')
    assert "the nearest known key is fuel_litres" in errors_of(page)["covers"][0]
    saved(desk, offer, covers='{"limits": {"fuel_litres": "25"}}')
    assert ExtraOffer.objects.get().covers == {"limits": {"fuel_litres": "25"}}


def test_a_rate_card_that_a_rental_was_signed_with_is_read_only(desk, inverlark, booked):
    card = RateCardFactory(branch=inverlark)
    Rental.objects.update(frozen={"rate_card": {"id": str(card.pk), "number": card.number}})
    page = desk.get(change_url(card))
    assert not page.context["has_change_permission"]
    assert desk.post(change_url(card), {"number": 9}).status_code == 403
    assert desk.post(reverse("admin:handover_ratecard_delete", args=[card.pk]), {"post": "yes"}).status_code == 403


def test_a_booking_is_changed_through_its_action(desk, booked):
    page = saved(desk, booked, planned_back_at="2026-08-19 10:00", excess="250", charged_days="5")
    assert not page.context.get("errors")
    booked.refresh_from_db()
    assert (booked.planned_back_at.isoformat(), booked.excess, booked.charged_days) == (
        "2026-08-19T09:00:00+00:00",
        250,
        5,
    )
    entry = Entry.objects.get(kind="rental.changed")
    assert '"charged_days":{"now":5,"was":4}' in entry.payload
    assert entry.actor.username == "maeve"


def test_a_booking_saved_as_it_was_writes_nothing(desk, booked):
    saved(desk, booked)
    assert not Entry.objects.filter(kind="rental.changed").exists()


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"planned_back_at": "2026-08-13 10:00"}, "planned_back_at", "The return lies before the pickup."),
        ({"planned_out_at": "2026-03-29 01:30"}, "planned_out_at", "01:30 on 29 March 2026 did not come"),
        ({"deposit_held": "-5"}, "deposit_held", "-5 is below zero."),
        ({"excess": "0.005"}, "excess", "GBP has 2 decimals; 0.005 has more."),
    ],
)
def test_terms_that_cannot_be(desk, booked, changes, field, sentence):
    assert errors_of(saved(desk, booked, **changes))[field][0].startswith(sentence)


def test_a_started_rental_is_read_only(desk, booked):
    Rental.objects.update(state="out")
    page = desk.get(change_url(booked))
    assert not page.context["has_change_permission"]
    assert "2026-08-14 10:00" in page.content.decode()
    assert desk.post(change_url(booked), {"excess": "0"}).status_code == 403


def test_a_person_is_made_with_role_posting_and_password(office, inverlark):
    data = {"username": "mungo", "first_name": "Mungo", "last_name": "Baird", "role": "host", "usable_password": "true"}
    sign_in = {"password1": "gorse-on-the-hill", "password2": "gorse-on-the-hill"}
    posting = {"postings-TOTAL_FORMS": 1, "postings-INITIAL_FORMS": 0, "postings-0-branch": inverlark.pk}
    page = office.post(reverse("admin:shared_person_add"), data | sign_in | posting)
    person = Person.objects.get(username="mungo")
    assert page.url == change_url(person)
    assert person.check_password("gorse-on-the-hill")
    assert person.branch_ids == {inverlark.pk}


def test_nobody_makes_a_superuser_or_deletes_a_person(office, isla):
    fields = office.get(change_url(isla)).context["adminform"].form.fields
    assert not {"is_superuser", "is_staff", "groups", "user_permissions"} & set(fields)
    assert office.post(reverse("admin:shared_person_delete", args=[isla.pk]), {"post": "yes"}).status_code == 403


INLINE = re.compile(r"<script(?![^>]*\bsrc=)(?![^>]*application/json)|<style|\sstyle=|\son[a-z]+=", re.IGNORECASE)


@pytest.mark.parametrize("kind", ["fleet_unit", "handover_rental"])
@pytest.mark.parametrize("page", ["changelist", "import", "export"])
def test_no_inline_script_or_style(desk, booked, kind, page):
    assert not INLINE.search(desk.get(reverse(f"admin:{kind}_{page}")).content.decode())


def test_lists_need_no_more_queries_for_more_rows(desk, booked, django_assert_max_num_queries):
    for kind in ("fleet_unit", "handover_rental"):
        with django_assert_max_num_queries(15):
            desk.get(reverse(f"admin:{kind}_changelist"))
