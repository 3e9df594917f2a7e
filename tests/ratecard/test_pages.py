"""The pages of the rate cards, as a browser without script sees them."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover.ratecard.csv_file import csv_of
from handover.ratecard.flat import cells_of
from handover.ratecard.posted import FIELD
from handover.rental.models import RateCard
from shared.access.models import Person
from shared.ids import uuid7
from tests.factories import RateCardFactory
from tests.ratecard.conftest import FULL

pytestmark = pytest.mark.django_db
LIST = "/branch/inverlark/rate-cards/"
MOST = 15


def address(card: RateCard) -> str:
    return reverse("rate-card", args=[card.pk])


def shown_values(page: Any) -> dict[str, str]:
    """Every field that the page would send back as it stands."""
    blocks = [block for section in page.context["page"].sections for block in section.blocks]
    fields = [field for block in blocks for field in block.fields]
    fields += [row.field for block in blocks for table in block.tables for row in table.rows]
    return {field.name: field.value for field in fields}


def sent(client: Client, card: RateCard, typed: dict[str, str] | None = None, day: str = "2027-01-04") -> Any:
    """The page as it stands with some fields changed, kept."""
    data = shown_values(client.get(address(card))) | {"valid_from": day, "note": "", "key": str(uuid7())}
    changes = {name if ":" in name else FIELD + name: value for name, value in (typed or {}).items()}
    return client.post(address(card), data | changes)


def asked(client: Client, path: str) -> int:
    with CaptureQueriesContext(connection) as queries:
        assert client.get(path).status_code == 200
    return len(queries)


def test_the_list_says_which_counts(as_maeve: Client, draft: RateCard) -> None:
    RateCardFactory(number=6, valid_from="2025-01-01", rules=FULL)
    page = as_maeve.get(LIST)
    standings = {row.card.number: row.standing for row in page.context["page"].rows}
    assert standings == {8: "draft", 7: "counts now", 6: "past"}
    assert "Every day has one card" in page.text


def test_what_does_not_hold_is_on_the_list(as_maeve: Client) -> None:
    assert "No rate card counts" in as_maeve.get(LIST).text


def test_a_draft_is_begun(as_maeve: Client, card: RateCard) -> None:
    answer = as_maeve.post(f"{LIST}begin/", {"key": uuid7()})
    assert answer.headers["Location"] == address(RateCard.objects.get(draft=True))


def test_the_page_shows_every_value_of_the_card(as_maeve: Client, draft: RateCard) -> None:
    values = shown_values(as_maeve.get(address(draft)))
    assert {name: value for name, value in values.items() if value} == {
        FIELD + path: value for path, value in cells_of(FULL).items()
    }


def test_kept_as_it_stands_it_says_the_same(as_maeve: Client, draft: RateCard) -> None:
    assert sent(as_maeve, draft).status_code == 302
    draft.refresh_from_db()
    assert cells_of(draft.rules) == cells_of(FULL)


def test_a_value_and_a_new_row_are_kept(as_maeve: Client, draft: RateCard) -> None:
    typed = {
        "fuel.price_per_litre": "1.75", "key:waivers.limits.+1": "deputy", "waivers.limits.+1": "80",
        "waste.grey_fee": "", "waste.grey_threshold_pct": "",
    }  # fmt: skip
    sent(as_maeve, draft, typed=typed)
    draft.refresh_from_db()
    assert draft.rules["fuel"]["price_per_litre"] == "1.75"
    assert draft.rules["waivers"]["limits"]["deputy"] == "80"
    assert "waste" not in draft.rules


def test_what_cannot_be_stands_at_its_field_with_what_was_typed(as_maeve: Client, draft: RateCard) -> None:
    answer = sent(as_maeve, draft, typed={"fuel.price_per_litre": "1,75", "gas.price_per_kg": "5.10"})
    assert answer.status_code == 422
    assert shown_values(answer)[f"{FIELD}gas.price_per_kg"] == "5.10"
    assert 'value="1,75"' in answer.text
    assert "is not a plain number" in answer.text
    draft.refresh_from_db()
    assert draft.rules == FULL


def test_a_row_without_its_name_comes_back_as_typed(as_maeve: Client, draft: RateCard) -> None:
    typed = {"key:damage.matrix.+1": "mirror", "damage.matrix.+1.+1.+1": "60.00"}
    answer = sent(as_maeve, draft, typed=typed)
    assert answer.status_code == 422
    assert 'value="mirror"' in answer.text
    assert "Say what this is for" in answer.text


def test_a_problem_without_a_field_stands_above(as_maeve: Client, draft: RateCard) -> None:
    typed = {"distance.tiers.300": "", "distance.tiers.beyond": ""}
    answer = sent(as_maeve, draft, typed=typed)
    assert "Distance, rates: This has to be stated." in answer.text


@pytest.mark.parametrize(("day", "words"), [("", "Say from which day"), ("4.1.27", "This is no day")])
def test_the_day_is_a_day(as_maeve: Client, draft: RateCard, day: str, words: str) -> None:
    assert words in sent(as_maeve, draft, day=day).text


def test_published_meanwhile_is_said(as_maeve: Client, draft: RateCard) -> None:
    page = shown_values(as_maeve.get(address(draft)))
    RateCard.objects.filter(pk=draft.pk).update(draft=False)
    answer = as_maeve.post(address(draft), page | {"valid_from": "2027-01-04", "key": uuid7()})
    assert (answer.status_code, "is published and stays as it is" in answer.text) == (422, True)


def test_publishing_and_then_only_reading(as_maeve: Client, draft: RateCard) -> None:
    as_maeve.post(f"{address(draft)}publish/", {"key": uuid7()})
    page = as_maeve.get(address(draft)).text
    assert "Published: it stays as it is." in page
    assert "<form" not in page.partition("<main")[2].partition("</main>")[0]


def test_a_day_that_is_past_is_refused_on_the_page(as_maeve: Client, draft: RateCard) -> None:
    RateCard.objects.filter(pk=draft.pk).update(valid_from="2025-01-04")
    answer = as_maeve.post(f"{address(draft)}publish/", {"key": uuid7()})
    assert (answer.status_code, "4 Jan 2025 is past" in answer.text) == (422, True)


def test_deleting_a_draft(as_maeve: Client, draft: RateCard) -> None:
    assert as_maeve.post(f"{address(draft)}delete/", {"key": uuid7()}).headers["Location"] == LIST
    assert not RateCard.objects.filter(draft=True).exists()


def test_a_published_card_is_not_deleted(as_maeve: Client, card: RateCard) -> None:
    answer = as_maeve.post(f"{address(card)}delete/", {"key": uuid7()})
    assert (answer.status_code, "stays as it is" in answer.text) == (422, True)


def test_what_it_says_otherwise_than_the_one_before(as_maeve: Client, draft: RateCard) -> None:
    sent(as_maeve, draft, typed={"fuel.price_per_litre": "1.75", "admin.per_fine": ""})
    changes = as_maeve.get(address(draft)).context["page"].changes
    assert [(one.title, one.was, one.now) for one in changes] == [
        ("Fuel, price", "£1.62/L", "£1.75/L"),
        ("Handling fees, a fine", "£30.00", "not stated"),
    ]


def test_which_fuel_the_price_is_for(as_maeve: Client, draft: RateCard) -> None:
    assert "The price per litre is for diesel" in as_maeve.get(address(draft)).text


def test_a_manager_reads_a_draft(client: Client, ruth: Person, draft: RateCard) -> None:
    client.force_login(ruth)
    page = client.get(address(draft)).text
    assert "Would count from 4 January 2027" in page
    assert "Fuel" in page


def test_out_as_csv_and_in_again(as_maeve: Client, card: RateCard) -> None:
    out = as_maeve.get(f"{address(card)}rate-card.csv")
    assert out.headers["Content-Disposition"] == 'attachment; filename="rate-card-inverlark-7.csv"'
    answer = as_maeve.post(f"{LIST}import/", {"key": uuid7(), "file": SimpleUploadedFile("card.csv", out.content)})
    made = RateCard.objects.get(draft=True)
    assert answer.headers["Location"] == address(made)
    assert (csv_of(made), made.number) == (csv_of(card), 8)


def test_a_bad_file_imports_nothing_and_says_each_row(as_maeve: Client, card: RateCard) -> None:
    file = SimpleUploadedFile("card.csv", b"path,value\nadmin.per_fine,30\nfuel.price,x\nwaste.grey_fee,y\n")
    answer = as_maeve.post(f"{LIST}import/", {"key": uuid7(), "file": file})
    assert answer.status_code == 422
    assert answer.text.count("<li>Line") == 2
    assert not RateCard.objects.filter(draft=True).exists()


def test_no_file_is_said(as_maeve: Client, card: RateCard) -> None:
    answer = as_maeve.post(f"{LIST}import/", {"key": uuid7()})
    assert (answer.status_code, "Choose a file first." in answer.text) == (422, True)


def test_the_preview_page(as_maeve: Client, draft: RateCard) -> None:
    assert "No statement yet in GBP" in as_maeve.get(f"{address(draft)}preview/").text


@pytest.mark.parametrize("page", ["", "preview/", "rate-card.csv"])
def test_few_queries(as_maeve: Client, draft: RateCard, card: RateCard, page: str) -> None:
    assert asked(as_maeve, f"{address(draft)}{page}") <= MOST
    assert asked(as_maeve, f"{address(card)}{page}") <= MOST


def test_few_queries_for_the_list(as_maeve: Client, card: RateCard) -> None:
    for number in range(8, 18):
        RateCardFactory(number=number, valid_from=f"2027-{number - 7:02}-01", rules=FULL)
    assert asked(as_maeve, LIST) <= MOST
