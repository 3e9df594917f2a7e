"""Pickups: without a network, with two hosts, with readings that cannot be true, on paper, in two languages."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from fleet.models import Branch, Instrument, Topic, TopicText
from handover.paper.models import PaperSheet
from handover.photo.models import Photo
from handover.record.document import content_from
from handover.record.models import Record
from handover.record.topic_rows import topic_rows
from handover.record.writing import record_document
from handover.rental.models import Rental
from handover.statement.models import Signature
from handover.turnaround.models import TurnaroundJob
from handover.walkround.models import Reading, ShownOffline, TopicHeard, WalkRound
from shared.access.models import Person
from shared.ledger.models import Entry
from shared.ledger.verifying import verify_all
from tests.factories import CustomerFactory, RateCardFactory, RentalFactory, UnitFactory
from tests.photos.pictures import noise, saved
from tests.playing import item
from tests.stories import tablets
from tests.stories.conftest import DAMAGE_RULES, It
from tests.stories.steps import (
    at,
    begins_pickup,
    begins_return,
    comes_back,
    does,
    draws_up,
    explains_topics,
    goes,
    hands_over,
    inputs,
    latest,
    lines,
    page_of,
    reads,
    sees,
    station_with,
    takes_back,
    tries,
    wall,
)
from tests.tablet.conftest import asked

pytestmark = pytest.mark.django_db
PHOTOS = 40


def test_yard_without_reception(rental: Rental, isla: Person, it_is: It) -> None:
    """The tablet is offline since 08:00; a pickup with 40 photos and both signatures is done on it.

    It lost its power and sends everything again: one handover stands, with the times at which things happened.
    """
    # Given a tablet that has no signal, and a pickup done on it between 09:10 and 09:40
    two = tablets.tablet(2, isla)
    begun = tablets.begins(two, rental, at("14 Aug 2026 09:10"))
    walk = begun["walk"]
    gas = two.says("topic", walk, Topic.objects.get(code="gas_valves").pk, at=at("14 Aug 2026 09:20"),
                   outcome="understood", seconds="31")  # fmt: skip
    diesel = two.says("reading", walk, Instrument.objects.get(code="diesel").pk, at=at("14 Aug 2026 09:25"),
                      station=1, typed="82")  # fmt: skip
    pictures = [saved(noise(24 + place, 24), "JPEG") for place in range(PHOTOS)]
    taken = [tablets.photographs(two, walk, data, at("14 Aug 2026 09:30")) for data in pictures]
    rows = [{"part": f"topic-{gas['item']}", "what": "Gas valves", "said": "understood", "answer": gas["key"]},
            {"part": f"reading-{diesel['item']}", "what": "Diesel", "said": "82", "answer": diesel["key"]}]  # fmt: skip
    signed = tablets.hands_over(two, walk, rows, at("14 Aug 2026 09:40"))

    # When there is a signal at noon, and a battery that died half way makes it send all of it twice
    it_is("14 Aug 2026 12:00")
    for entry, data in zip(taken, pictures, strict=True):
        tablets.uploads(two, entry, data)
    everything = [begun, gas, diesel, *taken, signed]
    assert set(two.told(*everything)) == {"ok"}
    assert set(two.told(*everything)) == {"duplicate"}

    # Then one handover stands, and nothing of it is lost or doubled
    stands = WalkRound.objects.get()
    assert Photo.objects.filter(walk=stands).count() == PHOTOS
    assert [(row.typed, row.at) for row in stands.readings.all()] == [("82", at("14 Aug 2026 09:25"))]
    assert (stands.started_at, stands.finished_at) == (at("14 Aug 2026 09:10"), at("14 Aug 2026 09:40"))
    rental.refresh_from_db()
    assert (rental.state, rental.legs.get().started_at) == ("out", at("14 Aug 2026 09:40"))
    # And the customer's copy is what they signed on the tablet, to the byte; the sealed Record follows it
    assert ShownOffline.objects.get().text == signed["fields"]["shown"]
    assert Signature.objects.count() == 2
    assert Record.objects.filter(rental=rental).count() == 1
    told = Entry.objects.get(kind="reading.taken")
    assert (told.happened_at, told.recorded_at) == (at("14 Aug 2026 09:25"), at("14 Aug 2026 12:00"))
    assert list(verify_all()) == []


def test_two_hosts_one_unit(rental: Rental, isla: Person, ruth: Person, it_is: It) -> None:
    """Isla began outside, Ruth does the cab on another tablet; both entered the fuel, differently.

    Both parts are kept; of the fuel both answers are shown, and nobody wins in silence.
    """
    # Given a pickup that two hosts walk, each with a tablet of their own
    walk = begins_pickup(isla, rental)
    two, three = tablets.tablet(2, isla), tablets.tablet(3, ruth)
    seven = two.says("reading", walk, asked(walk, "diesel"), station=1, typed="7/8")
    cap = two.says("check", walk, asked(walk, "Cap and flap"), station=1, word="good")
    eight = three.says("reading", walk, asked(walk, "diesel"), station=1, typed="8/8")
    drain = three.says("check", walk, asked(walk, "Floor drain clear"), word="good")

    # When both send what they have
    assert two.told(seven, cap) == ["ok", "ok"]
    assert three.told(eight, drain) == ["conflict", "ok"]

    # Then both parts are there, and the two answers stand side by side with their names
    assert {row.item.code for row in walk.checkanswers.all()} == {"filler_cap", "drain"}
    assert Reading.objects.filter(walk=walk, item__code="diesel").count() == 2
    page = sees(isla, "station", walk.pk, 1)
    assert "2 answers for one question." in page
    assert "Isla M." in page
    assert "Ruth A." in page
    # And it stays so until a person picks one
    assert walk.disagreements.get().settled_at is None


def test_gauge_read_with_ignition_off(rental: Rental, isla: Person, ruth: Person, it_is: It) -> None:
    """The yard filled unit 407 an hour ago; the gauge is read as empty. The system asks and forbids nothing."""
    # Given a unit that came back from an earlier rental and was filled by the yard at nine
    earlier = RentalFactory(leg=rental.legs.get().unit, planned_out_at=at("10 Aug 2026 10:00"),
                            planned_back_at=at("13 Aug 2026 10:00"))  # fmt: skip
    it_is("10 Aug 2026 10:00")
    goes(isla, earlier)
    it_is("13 Aug 2026 10:00")
    comes_back(isla, earlier, diesel="20", odometer="66400 km")
    it_is("14 Aug 2026 09:00")
    for job in TurnaroundJob.objects.filter(closed_at=None):
        if job.kind == TurnaroundJob.Kind.REFUEL:
            does(ruth, "job", job.pk, before="20", litres="70", reading="90")
        else:
            does(ruth, "job-not-needed", job.pk, reason="Looked at, as it should be.")
    it_is("14 Aug 2026 10:00")

    # When the host saves 0/8
    walk = begins_pickup(isla, rental)
    reads(isla, walk, diesel="0/8")

    # Then it is kept, the question stands at its row, and it stays until somebody reads again
    kept = Reading.objects.get(walk=walk)
    assert kept.value == 0
    question = "A gauge reads 0 with the ignition off. Is it on, and has the needle settled?"
    assert question in sees(isla, "station", walk.pk, 1)
    reads(isla, walk, gas_front="11.7")
    assert question in sees(isla, "station", walk.pk, 1)
    reads(isla, walk, diesel="8/8")
    assert question not in sees(isla, "station", walk.pk, 1)
    # And the first reading is still there for whoever asks later
    assert [row.doubt for row in Reading.objects.filter(walk=walk, item__code="diesel")] == [question, ""]


def test_odometer_with_swapped_digits(
    inverlark: Branch, isla: Person, callum: Person, it_is: It, shots: tuple[bytes, bytes]
) -> None:
    """48 210 out and 43 050 in cannot be; 84 210 in is asked about. Lower only by a correction with a photo."""
    # Given a rental that left seven days ago with 48 210 km
    it_is("14 Aug 2026 09:00")
    by_distance = {"unit": "km", "included_per_day": "250", "tiers": [{"up_to": None, "rate": "0.10"}]}
    RateCardFactory(branch=inverlark, rules=DAMAGE_RULES | {"distance": by_distance})
    rental = RentalFactory(leg=UnitFactory(odometer_km=48_000), planned_back_at=at("21 Aug 2026 10:00"))
    goes(isla, rental, odometer="48210 km")
    it_is("21 Aug 2026 09:00")
    walk = begins_return(callum, rental)
    number, ask = station_with(walk, "odometer"), item(walk, "odometer").id

    # When 43 050 is typed, then it is refused, and what can be is said
    refused = tries(callum, "take-reading", walk.pk, number, ask, typed="43050 km")
    assert refused.status_code == 422
    assert "43 050 km is less than the 48 210 km it left with. Read the odometer again." in page_of(refused)
    assert not Reading.objects.filter(walk=walk).exists()

    # When 84 210 is typed, then it is kept and asked about, with what was probably meant
    reads(callum, walk, odometer="84210 km")
    doubt = Reading.objects.get(walk=walk).doubt.replace("\u202f", " ")
    assert doubt == "That is 36 000 km in 7 days. Did you mean 48 210?"

    # When it is priced so, then only a correction with a photo puts it right, and the first reading stays
    reads(callum, walk, diesel="82", gas_front="11.7")
    takes_back(callum, walk)
    statement = draws_up(callum, rental)
    assert lines(statement)["DISTANCE tier 1"] == "3500.00"
    reading = Reading.objects.get(walk=walk, item__code="odometer")
    correct = ("correct-reading", statement.pk, 1, reading.pk)
    said = {"typed": "48420 km", "words": "Digits swapped; the photo of the dash shows 48 420."}
    assert tries(callum, *correct, **said).status_code == 422
    does(callum, *correct, **said, photo=SimpleUploadedFile("dash.jpg", shots[0], content_type="image/jpeg"))
    assert "DISTANCE tier 1" not in lines(latest(rental))
    assert inputs(latest(rental))["corrections"][0]["was"] == 84210
    assert Reading.objects.get(pk=reading.pk).value == 84210


def test_paper_day(rates: None, isla: Person, callum: Person, ruth: Person, it_is: It, shots: Any) -> None:
    """A power cut: three pickups on blank sheets, one of which is lost; they are keyed in the next day.

    Their source is paper, the gap in the numbers is reported, and against the lost one nothing that rests on a
    reading can be charged.
    """
    # Given three sheets that were printed in time, and three units that leave on them
    rentals = [
        RentalFactory(leg=UnitFactory(number=number), number=f"LK-2060{place}",
                      customer=CustomerFactory(name=name))
        for place, (number, name) in enumerate([("407", "Maren Oduya"), ("408", "Ivo Brandt"), ("409", "Lena Weir")])
    ]  # fmt: skip
    layout = rentals[0].legs.get().unit.layout
    does(isla, "print-paper", "inverlark", layout=layout.pk, many="3")
    sheets = list(PaperSheet.objects.all())
    assert [sheet.number for sheet in sheets] == [1, 2, 3]
    blanks = sees(isla, "paper-blanks", "inverlark", 1, 3)
    assert "Sheet 2" in blanks
    assert "Gas valves" in blanks

    # When sheets 1 and 3 are keyed in the next day
    it_is("15 Aug 2026 09:00")
    first, lost, third = rentals
    for sheet, rental, left in ((sheets[0], first, "10:20"), (sheets[2], third, "11:40")):
        keys_in(isla, sheet, rental, left, shots[0])

    # Then the gap is reported, and what was keyed in says that it comes from paper and when it happened
    page = sees(ruth, "paper-sheets", "inverlark")
    assert "Numbers that are missing: 2." in page
    assert "Source: paper. LK-20600, Maren Oduya, keyed in by Isla M." in page
    assert first.legs.get().started_at == at("14 Aug 2026 10:20")
    begun = Entry.objects.get(chain=first.pk, kind="pickup.started")
    assert '"source":"paper"' in begun.payload
    assert (begun.happened_at, begun.recorded_at) == (at("14 Aug 2026 09:50"), at("15 Aug 2026 09:00"))
    assert set(Signature.objects.filter(rental=first).values_list("reason", flat=True)) == {"Signed on paper sheet 1."}
    assert "keyed in from paper sheet 1 on" in sees(isla, "rental", first.pk)
    sheet = record_document(Record.objects.get(rental=first))[0]["walk_rounds"][0]["paper"]
    assert (sheet["number"], sheet["keyed_in_by"], sheet["lost"]) == (1, "Isla Macrae", "")

    # And of the lost one a manager alone says so
    said = {"leg": lost.legs.get().pk, "left_at": wall("14 Aug 2026 11:00"), "words": "Blown off the counter."}
    assert tries(isla, "lose-paper", sheets[1].pk, **said).status_code == 403
    does(ruth, "lose-paper", sheets[1].pk, **said)
    assert "Numbers that are missing" not in sees(ruth, "paper-sheets", "inverlark")

    # And no line that rests on a reading comes of it, whatever the return finds; of a kept sheet it does
    short = {"diesel": "20", "gas_front": "8.0", "odometer": "67900 km"}
    it_is("18 Aug 2026 10:00")
    for rental in (first, lost):
        walk = begins_return(callum, rental)
        reads(callum, walk, **short)
        kit = item(walk, "first_aid").id
        does(callum, "check-seal", walk.pk, 2, kit, state="broken", seal_number="93412")
        does(callum, "pin-mark", walk.pk, 1, kind="scratch", part="door", place="left door", size_mm="120",
             x_mm="-1025", y_mm="2600")  # fmt: skip
        takes_back(callum, walk)
    assert {"FUEL 407", "SAFETY_KIT first_aid"} <= set(lines(draws_up(callum, first)))
    statement = draws_up(callum, lost)
    assert lines(statement) == {}
    assert inputs(statement)["events"][0]["items"][0]["inspected_at_pickup"] is False
    assert list(verify_all()) == []


def keys_in(host: Person, sheet: PaperSheet, rental: Rental, left: str, scan: bytes) -> None:
    """With a photo of the sheet; then its answers at the stations, as ever."""
    file = SimpleUploadedFile("sheet.jpg", scan, content_type="image/jpeg")
    times = {"begun_at": wall("14 Aug 2026 09:50"), "gone_at": wall(f"14 Aug 2026 {left}")}
    does(host, "key-in-paper", sheet.pk, leg=rental.legs.get().pk, scan=file, **times)
    walk = WalkRound.objects.get(leg__rental=rental)
    reads(host, walk, diesel="82", gas_front="11.7", odometer="66300 km")
    explains_topics(host, walk)
    hands_over(host, walk)


def test_language_and_hands(rental: Rental, isla: Person, it_is: It) -> None:
    """Maren, who drives, is deaf and reads English; Tobias, her partner, reads only German.

    Each Topic is shown in words and drawings in the language of who takes it; who acknowledged what is stored; the
    signed copy holds both languages and names the one that was shown.
    """
    # Given a safety Topic that stands in German too
    Topic.objects.filter(code="gas_valves").update(code="gas")  # which has a drawing
    valves = Topic.objects.get(code="gas")
    vents = Topic.objects.get(code="ventilation")
    german = "Vor der Fahrt beide Ventile schließen."
    TopicText.objects.create(topic=valves, language="de", title="Gasventile", text=german)
    walk = begins_pickup(isla, rental)

    # When Tobias chooses German, reads it with its drawing, and confirms it by his own name
    does(isla, "choose-language", walk.pk, 2, language="de")
    page = sees(isla, "station", walk.pk, 2)
    assert german in page
    assert "<svg" in page.partition('data-saying="de"')[2].partition("</form>")[0]
    does(isla, "hear-topic", walk.pk, 2, valves.pk, outcome="understood", language="de", heard_by="Tobias Oduya",
         seconds="40")  # fmt: skip
    # And Maren reads the driving Topic in English and confirms it herself
    does(isla, "hear-topic", walk.pk, 2, vents.pk, outcome="understood", language="en", seconds="25")
    reads(isla, walk, diesel="82", gas_front="11.7", odometer="66300 km")
    hands_over(isla, walk)

    # Then it is stored who acknowledged what, in which language
    heard = TopicHeard.objects.values_list("item__code", "heard_by", "language", "outcome")
    assert set(heard) == {
        ("gas", "Tobias Oduya", "de", "understood"), ("ventilation", "Maren Oduya", "en", "understood"),
    }  # fmt: skip
    # And the Record holds both texts and says which was shown to whom
    document, _plan, _photos = record_document(Record.objects.get(rental=rental))
    row = next(row for row in topic_rows(content_from(document)) if row.title == "Gas valves")
    assert row.other is not None
    assert (row.text, row.other.text) == (valves.text, german)
    assert row.said.startswith("Confirmed, Tobias Oduya, in German")
