"""The pages of the manager's view: what they show, how often they ask the database, what they let out."""

import csv
import json
from datetime import timedelta
from io import StringIO

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fleet.models import Branch
from handover.insight.drawing import drawn
from handover.insight.export import as_csv
from handover.insight.registry import CHAPTERS, QUESTIONS, TABLES
from handover.insight.table import Column, Drawing, Row, Span, Table
from handover.rental.models import Leg, Rental
from handover.statement.models import Statement
from handover.walkround.models import WalkRound
from shared.access.models import Person
from tests.factories import PersonFactory
from tests.insight.conftest import AUGUST

MOST = 17
PAGES = [
    *(("insight-chapter", page.key) for page in CHAPTERS),
    *(("insight-answer", each.number) for each in QUESTIONS),
]


def look(client: Client, name: str, *args: object, **said: str) -> str:
    answer = client.get(reverse(name, args=args), AUGUST | said)
    assert answer.status_code == 200
    return answer.text


def queries(client: Client) -> dict[object, int]:
    found = {}
    for name, key in PAGES:
        with CaptureQueriesContext(connection) as asked:
            look(client, name, key)
        found[key] = len(asked)
    return found


def _more(like: Statement, numbers: range) -> None:
    """So many rentals as the one that is settled, each with its walk-rounds and its statement."""
    leg, walks = like.rental.legs.get(), list(WalkRound.objects.filter(leg__rental=like.rental))
    for n in numbers:
        rental = Rental.objects.get(pk=like.rental_id)
        rental.pk, rental.number, rental._state.adding = None, f"LK-5{n:04}", True
        rental.id = Rental._meta.pk.get_default()
        rental.save()
        another = Leg.objects.create(
            rental=rental, unit=leg.unit, started_at=leg.started_at, ended_at=leg.ended_at, ended_by="return"
        )
        for walk in walks:
            WalkRound.objects.create(
                leg=another, kind=walk.kind, sheet=walk.sheet, started_at=walk.started_at, started_by=walk.started_by,
                finished_at=walk.finished_at, finished_by=walk.finished_by, arrived_at=walk.arrived_at,
            )  # fmt: skip
        Statement.objects.create(
            rental=rental, version=1, inputs=like.inputs, result=like.result, rules_version="1", digest="0" * 64,
            total=like.total, currency="GBP", drawn_up_at=like.drawn_up_at, drawn_up_by=like.drawn_up_by,
        )  # fmt: skip


def test_no_page_asks_more_often_because_there_is_more(as_ruth: Client, settled: Statement) -> None:
    _more(settled, range(2))
    before = queries(as_ruth)
    _more(settled, range(2, 42))
    assert queries(as_ruth) == before
    assert max(before.values()) <= MOST


@pytest.mark.parametrize(
    ("chapter", "words"),
    [("charges", '"handover_statement"."result"'), ("baselines", '"handover_statement"."result"'),
     ("readings", 'AS "earlier"'), ("handovers", 'FROM "handover_sheet"')],
)  # fmt: skip
def test_what_several_tables_of_a_page_rest_on_is_read_once(
    as_ruth: Client, settled: Statement, chapter: str, words: str
) -> None:
    with CaptureQueriesContext(connection) as asked:
        look(as_ruth, "insight-chapter", chapter)
    assert len([each for each in asked if words in each["sql"]]) == 1


def test_a_chapter_says_what_it_rests_on_and_leads_to_its_rentals(as_ruth: Client, settled: Statement) -> None:
    page = look(as_ruth, "insight-chapter", "charges")
    assert "rests on 1 statement" in page
    assert "Kept of what was charged" in page
    behind = look(as_ruth, "insight-rentals", "kept-of-charges", row="GBP FUEL")
    assert f'href="{reverse("rental", args=[settled.rental_id])}">{settled.rental.number}</a>' in behind
    assert "?branch=all&amp;start=2026-08-01&amp;end=2026-08-31&amp;row=GBP+FUEL" in page


def test_a_row_that_is_not_there(as_ruth: Client, settled: Statement) -> None:
    for row in ("GBP NOTHING", "\x00", "x' OR 1=1"):
        assert (
            as_ruth.get(reverse("insight-rentals", args=["kept-of-charges"]), AUGUST | {"row": row}).status_code == 404
        )
    assert as_ruth.get(reverse("insight-rentals", args=["no-such-table"])).status_code == 404
    assert as_ruth.get(reverse("insight-chapter", args=["no-such-chapter"])).status_code == 404
    assert as_ruth.get(reverse("insight-answer", args=[16])).status_code == 404


def test_nothing_found_is_said_with_how_much_was_looked_at(as_ruth: Client, settled: Statement) -> None:
    page = look(as_ruth, "insight-answer", 7)
    assert "Nothing found." in page
    assert "Looked at: 1 mark charged." in page


def test_every_question_has_an_answer(as_ruth: Client, inverlark: Branch) -> None:
    assert [each.number for each in QUESTIONS] == [*range(1, 16)]
    assert all(each.builds or each.elsewhere for each in QUESTIONS)
    page = look(as_ruth, "insight-audit")
    assert all(reverse("insight-answer", args=[each.number]) in page for each in QUESTIONS)
    assert "manage.py reprice" in look(as_ruth, "insight-answer", 3)


def test_a_period_that_cannot_be_is_said_and_kept(as_ruth: Client, inverlark: Branch) -> None:
    answer = as_ruth.get(reverse("insight-chapter", args=["charges"]), AUGUST | {"start": "2026-13-45"})
    assert answer.status_code == 422
    assert "2026-13-45 is no day. Write it as 2026-08-18." in answer.text
    assert 'value="2026-13-45"' in answer.text


def test_another_branchs_rentals_are_not_there(client: Client, settled: Statement, port_averil: Branch) -> None:
    client.force_login(PersonFactory(username="odd", role="manager", branches=[port_averil]))
    assert settled.rental.number not in look(client, "insight-answer", 6)
    assert "rests on 0 statements" in look(client, "insight-chapter", "charges")
    assert client.get(reverse("insight"), {"branch": "inverlark"}).status_code == 404
    for key in TABLES:
        assert settled.rental.number not in look(client, "insight-export", key, "csv")


def test_a_host_may_not(client: Client, isla: Person) -> None:
    client.force_login(isla)
    assert client.get(reverse("insight-export", args=["waivers-by-host", "csv"])).status_code == 403


def test_the_desk_leads_there_for_a_manager_only(client: Client, maeve: Person, ruth: Person) -> None:
    desk = reverse("desk", args=["inverlark"])
    for person, leads in ((maeve, False), (ruth, True)):
        client.force_login(person)
        assert (reverse("insight") in client.get(desk).text) is leads


def test_csv_and_json_hold_the_same(as_ruth: Client, settled: Statement) -> None:
    rows = list(csv.DictReader(StringIO(look(as_ruth, "insight-export", "kept-of-charges", "csv"))))
    told = json.loads(look(as_ruth, "insight-export", "kept-of-charges", "json"))
    fuel, same = (next(row for row in some if row["line"] == "Fuel") for some in (rows, told["rows"]))
    assert (fuel["raw"], fuel["raw_currency"], fuel["kept_pct"]) == ("51.03", "GBP", "36.5")
    assert same["raw"] == {"amount": "51.03", "currency": "GBP"}
    assert told["rests_on"] == {"count": 1, "of": "1 statement"}
    assert told["asked"] == AUGUST
    assert len(rows) == len(told["rows"])


def test_a_figure_below_zero_stays_a_figure() -> None:
    table = Table("t", "d", (Column("name", "N"), Column("much", "M")), (Row(("=x", -4)),), 1, "1")
    assert as_csv(table) == "name,much\r\n'=x,-4\r\n"


def test_a_plot_escapes_its_words_and_ends_at_a_round_number() -> None:
    svg = drawn(Drawing("min <b>", (Span("<i>", 3, 1, 17), Span("b", 4))), 'say "so"')
    assert "<i>" not in svg
    assert "&lt;i&gt;" in svg
    assert ">20</text>" in svg
    assert svg.count('class="dot"') == 2
    assert svg.count('class="whisker"') == 1


def test_a_table_holds_a_cell_for_each_column() -> None:
    with pytest.raises(ValueError, match="1 cells for 2 columns"):
        Table("t", "d", (Column("a", "A"), Column("b", "B")), (Row(("x",)),), 1, "1")


def test_a_long_table_says_what_only_the_download_holds(as_ruth: Client, settled: Statement) -> None:
    photo = WalkRound.objects.get(kind="pickup").photos.get()
    kept = type(photo).objects
    for n in range(205):
        photo.pk, photo.id, photo._state.adding = None, type(photo)._meta.pk.get_default(), True  # type: ignore[union-attr]
        photo.at += timedelta(seconds=n)
        photo.save()
    kept.update(taken_at=None)
    assert "7 more rows are in the download." in look(as_ruth, "insight-answer", 12)
