"""A reading is put right with evidence; what was read stays beside it."""

from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.counter.evidence import Evidence, Shows, keep_evidence
from handover.counter.guard import begin, needed, never_dearer_after_the_cut_off
from handover.counter.models import Correction
from handover.walkround.guard import asked
from handover.walkround.models import Reading, WalkRound
from handover.walkround.reading import Taken, read
from handover.walkround.sheet import InstrumentAsk
from shared.access.roles import Right
from shared.ledger.personal import worded


@transaction.atomic
def correct_reading(reading: Reading, *, typed: str, words: str, evidence: Evidence, act: Act) -> Correction:
    """Of either walk-round, after it is finished; what was read at pickup only by who may open settled things."""
    walk, rental = reading.walk, reading.walk.leg.rental
    right = Right.SETTLE if walk.is_return else Right.REOPEN
    if earlier := begin(rental, Correction, "reading.corrected", act, right=right):
        return earlier
    was = _counts_now(reading)
    why = needed(words, "words", _("Say what shows that the reading was wrong."))
    if not evidence:
        raise CannotBe(_("A reading is corrected only with a photo that shows it. Choose or add one."), "photos")
    station, ask = next(pair for pair in walk.sheet.data.instruments() if pair[1].id == reading.item_id)
    taken = _read(walk, ask, typed, reading)
    if taken.value == was:
        raise CannotBe(_("This is the reading that counts already."), "typed")
    with never_dearer_after_the_cut_off(rental, act):
        correction = Correction.objects.create(
            id=act.key, rental=rental, reading=reading, was=was, value=taken.value, typed=typed.strip(),
            doubt=taken.doubt, words=why, at=act.at, by=act.by,
        )  # fmt: skip
        shows = Shows(view=f"{ask.name}, correction", subject=ask.id, station=station.number)
        photos = keep_evidence(rental, evidence, shows, act=act)
        correction.evidence.set(photos)
        _keep_odometer(walk, ask, taken)
    act.write(
        chain=rental.pk,
        kind="reading.corrected",
        subject=correction.pk,
        payload={
            "walk": str(walk.pk),
            "reading": str(reading.pk),
            "instrument": ask.name,
            "unit": ask.unit,
            "was": str(was),
            "now": str(taken.value),
            "typed": correction.typed,
            "words": worded(why),
            "photos": [photo.kept_sha256 for photo in photos],
        },
    )
    return correction


def _counts_now(reading: Reading) -> Decimal:
    """The value in force. Raises CannotBe where there is nothing to correct."""
    if reading.walk.finished_at is None:
        raise CannotBe(_("This walk-round is still under way: read it again there."))
    if Reading.objects.filter(walk=reading.walk, item_id=reading.item_id).order_by("at", "id").last() != reading:
        raise CannotBe(_("This was read again later. Correct the later reading."))
    if reading.value is None:
        raise CannotBe(_("Nothing was read there, so there is nothing to correct. No reading, no charge."))
    last = Correction.objects.filter(reading=reading).last()
    return last.value if last else reading.value


def _read(walk: WalkRound, ask: InstrumentAsk, typed: str, reading: Reading) -> Taken:
    """As plausible as when it is read, at the time of the reading; an odometer at pickup is not past the return's."""
    taken = read(walk, asked([ask], ask.id, "reading"), typed, at=reading.at)
    if ask.measures == "odometer" and not walk.is_return:
        later = Reading.objects.filter(walk__leg=walk.leg, walk__kind="return", item_id=ask.id, state="read").last()
        if later and later.value is not None and taken.value > later.value:
            raise CannotBe(_("This is more than it came back with. Read the pickup’s photo again."), "typed")
    return taken


def _keep_odometer(walk: WalkRound, ask: InstrumentAsk, taken: Taken) -> None:
    """The unit keeps its odometer from its last walk-round."""
    unit = walk.leg.unit
    later = WalkRound.objects.filter(leg__unit=unit, started_at__gt=walk.started_at)
    if ask.measures == "odometer" and not later.exists():
        unit.odometer_km = int(taken.value)
        unit.save(update_fields=["odometer_km"])
