"""Everything that is done about numbered sheets of paper: printed, keyed in, said to be lost. Nothing else writes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.models import Branch, Layout
from handover.acting import Act, CannotBe
from handover.paper.models import PaperSheet
from handover.photo.actions import Taken, keep_photo
from handover.rental.models import Leg, NumberSeries, Rental
from handover.walkround.actions import finish_without_its_sheet, start_walk
from handover.walkround.models import WalkRound
from handover.written import check_words
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json
from shared.ledger.personal import worded

PRINTED, LOST, NOT_USED = "paper.printed", "paper.lost", "paper.not_used"
MOST = 50
WORDS = 300


@transaction.atomic
def print_sheets(branch: Branch, layout: Layout, *, many: int, act: Act) -> Sequence[PaperSheet]:
    """New blank sheets of a layout, numbered on from the last one of the branch. Raises CannotBe."""
    require(act.by, Right.PICKUP, branch.pk)
    if earlier := act.entry_before(chain=branch.pk, kind=PRINTED):
        return list(PaperSheet.objects.filter(branch=branch, printed_at=earlier.happened_at))
    if not 1 <= many <= MOST:
        raise CannotBe(_("Print 1 to %(most)s sheets at once.") % {"most": MOST}, "many")
    sheets = [
        PaperSheet.objects.create(
            id=uuid5(act.key, str(place)), branch=branch, layout=layout, printed_at=act.at, printed_by=act.by,
            number=NumberSeries.take(branch, "paper"),
        )
        for place in range(many)
    ]  # fmt: skip
    told: dict[str, Json] = {"layout": layout.name, "first": sheets[0].number, "last": sheets[-1].number}
    act.write(chain=branch.pk, kind=PRINTED, subject=sheets[0].pk, payload=told)
    return sheets


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What stands on the sheet besides the answers: when it began, when the unit left or was closed, and its scan."""

    begun_at: datetime
    gone_at: datetime
    scan: Taken


@transaction.atomic
def key_in(sheet: PaperSheet, leg: Leg, *, kind: WalkRound.Kind, said: OnPaper, act: Act) -> WalkRound:
    """Begins the walk-round that stands on the sheet, at the sheet's time; its answers are keyed in as ever."""
    require(act.by, Right.RETURN if kind == WalkRound.Kind.RETURN else Right.PICKUP, sheet.branch_id)
    if earlier := act.replayed(WalkRound, chain=leg.rental_id, kind=f"{kind}.started"):
        return earlier
    _check_times(said.begun_at, said.gone_at, act)
    _take(sheet, leg.rental, act)
    sheet.begun_at, sheet.gone_at = said.begun_at, said.gone_at
    sheet.save()
    walk = start_walk(leg, kind=kind, arrived_at=said.begun_at, paper=sheet, act=replace(act, at=said.begun_at))
    keep_photo(walk, said.scan, station=1, view=f"Paper sheet {sheet.number}", act=_second(act, "scan"))
    return walk


def _second(act: Act, of: str) -> Act:
    return replace(act, key=uuid5(act.key, of))


def _check_times(begun_at: datetime, gone_at: datetime, act: Act) -> None:
    if gone_at > act.at:
        raise CannotBe(_("That is still to come. Give the time that stands on the sheet."), "gone_at")
    if gone_at < begun_at:
        raise CannotBe(_("It cannot have ended before it began. One of the two times is wrong."), "gone_at")


def _take(sheet: PaperSheet, rental: Rental | None, act: Act) -> None:
    """Of one number one thing came. Locked, as two people may key in the same sheet."""
    fresh = PaperSheet.objects.select_for_update().get(pk=sheet.pk)
    if rental is not None and rental.branch_id != fresh.branch_id:
        raise CannotBe(_("This sheet is of another branch than the rental. Choose a rental of its own."), "rental")
    if fresh.ended_at:
        raise CannotBe(
            _("It was said already what became of sheet %(number)s. Look at its number again.")
            % {"number": fresh.number}
        )
    sheet.ended_at, sheet.ended_by = act.at, act.by


@transaction.atomic
def gone_on_a_lost_sheet(sheet: PaperSheet, leg: Leg, *, left_at: datetime, words: str, act: Act) -> WalkRound:
    """The unit left on it, and nothing that stood on it is known any more: no reading, no signature, no baseline.

    Only who may put right what was read at pickup says so, and why. Raises CannotBe.
    """
    require(act.by, Right.REOPEN, sheet.branch_id)
    if earlier := act.replayed(WalkRound, chain=leg.rental_id, kind="pickup.started"):
        return earlier
    _check_words(words)
    if left_at > act.at:
        raise CannotBe(_("That is still to come. Give the time at which the unit left."), "left_at")
    _take(sheet, leg.rental, act)
    sheet.begun_at = sheet.gone_at = left_at
    sheet.is_lost, sheet.words = True, words.strip()
    sheet.save()
    then = replace(act, at=left_at)
    walk = start_walk(leg, kind=WalkRound.Kind.PICKUP, paper=sheet, act=then)
    finish_without_its_sheet(walk, act=_second(then, "left"))
    told: dict[str, Json] = {"number": sheet.number, "left_at": left_at.isoformat(), "words": worded(sheet.words)}
    _second(act, "lost").write(chain=leg.rental_id, kind=LOST, subject=sheet.pk, payload=told)
    return walk


@transaction.atomic
def not_used(sheet: PaperSheet, *, words: str, act: Act) -> PaperSheet:
    """Nothing left on it: spoilt, torn, or lost blank. Raises CannotBe."""
    require(act.by, Right.REOPEN, sheet.branch_id)
    if earlier := act.replayed(PaperSheet, chain=sheet.branch_id, kind=NOT_USED):
        return earlier
    _check_words(words)
    _take(sheet, None, act)
    sheet.is_lost, sheet.words = True, words.strip()
    sheet.save()
    told: dict[str, Json] = {"number": sheet.number, "words": worded(sheet.words)}
    act.write(chain=sheet.branch_id, kind=NOT_USED, subject=sheet.pk, payload=told)
    return sheet


def _check_words(words: str) -> None:
    if not words.strip():
        raise CannotBe(_("Say what became of the sheet: who had it last, and where it was looked for."), "words")
    check_words(words, "words", most=WORDS)
