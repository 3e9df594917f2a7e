"""One press for a station where nothing changed."""

from collections.abc import Iterable
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.walkround.answers import Answers, answers_of
from handover.walkround.guard import begin
from handover.walkround.models import Answer, CheckAnswer, Count, Mark, MarkFinding, SealCheck, WalkRound
from handover.walkround.sheet import StationSheet
from shared.canonical import Json


@transaction.atomic
def rest_as_before(walk: WalkRound, *, station: int, act: Act) -> WalkRound:
    """Answers what is still open at a station as the walk-round before did.

    Never a safety check and never a topic: those are pressed one by one. Never a reading: a level is read off
    its instrument or not read at all, because a charge may rest on it.
    """
    if earlier := begin(walk, WalkRound, "station.rest_as_before", act):
        return earlier
    sheet = walk.sheet.data.station(station)
    if sheet is None or walk.before is None:
        raise CannotBe(_("There is nothing from before to repeat at this station."))
    found = answers_of([walk, walk.before])
    rows = [*_open_rows(walk, sheet, now=found[walk.pk], before=found[walk.before.pk], act=act)]
    for row in rows:
        row.save(force_insert=True)
    act.write(
        chain=walk.leg.rental_id,
        kind="station.rest_as_before",
        subject=walk.pk,
        payload={"walk": str(walk.pk), "station": station, "answers": [_told(row) for row in rows]},
    )
    return walk


def _open_rows(
    walk: WalkRound, sheet: StationSheet, *, now: Answers, before: Answers, act: Act
) -> Iterable[Answer]:  # fmt: skip
    given = {"walk": walk, "at": act.at, "by": act.by, "in_bulk": True}

    def key(asked: UUID) -> UUID:
        """As a tablet without a network knows it too: by the press and by what it answers."""
        return uuid5(act.key, str(asked))

    for check in sheet.checks:
        if not check.safety and check.id not in now.checks and (was := before.checks.get(check.id)):
            yield CheckAnswer(id=key(check.id), item_id=check.id, word=was.word, **given)
    for item in sheet.counts:
        if item.id not in now.counts and (counted := before.counts.get(item.id)):
            yield Count(id=key(item.id), item_id=item.id, present=counted.present, **given)
    for kit in sheet.kits:
        if kit.id not in now.seals and (seal := before.seals.get(kit.id)):
            yield SealCheck(id=key(kit.id), item_id=kit.id, state=seal.state, seal_number=seal.seal_number, **given)
    for mark in Mark.objects.filter(unit=walk.leg.unit, repaired_at=None, station_number=sheet.number):
        if mark.pk not in now.marks and mark.found_on_id != walk.pk:
            yield MarkFinding(id=key(mark.pk), mark=mark, word=MarkFinding.Word.AS_WAS, **given)


def _told(row: Answer) -> dict[str, Json]:
    names = ("item_id", "mark_id", "word", "present", "state", "seal_number")
    told: dict[str, Json] = {"kind": str(row._meta.model_name), "id": str(row.pk)}
    for name in names:
        if hasattr(row, name):
            value = getattr(row, name)
            told[name] = value if isinstance(value, int) or value is None else str(value)
    return told
