"""What can be told of a walk-round, by kind: reads the fields and calls the action.

The plain forms and the entries of a tablet come through here alike. A new kind of answer is one function more.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from handover.acting import Act, CannotBe
from handover.briefing.actions import choose_language
from handover.briefing.panel import language_of
from handover.paper.timing import as_it_happened
from handover.photo.actions import add_photo
from handover.photo.models import Photo
from handover.photo.sent import sent_of
from handover.photo.subjects import shows
from handover.rental.return_form import ReturnForm
from handover.walkround import actions
from handover.walkround.fields import Fields
from handover.walkround.forms import (
    choice_of,
    mark_seen,
    number_of,
    seconds_shown,
    sha256_of,
    spot_of,
    strokes_of,
    whole,
)
from handover.walkround.models import (
    CheckAnswer,
    Count,
    Hold,
    Mark,
    MarkFinding,
    Reading,
    Remark,
    SealCheck,
    TopicHeard,
    WalkRound,
)
from handover.walkround.shown import Shown
from handover.zone import in_zone_of

GONE = gettext_noop("This is not asked here any more. Open the station again.")


@dataclass(frozen=True, slots=True)
class Told:
    """One thing told: `item` is what it is about, `data` the bytes of a photo, `skew_ms` how far the tablet's clock
    was ahead of ours."""

    act: Act
    fields: Fields
    item: UUID | None = None
    station: int | None = None
    data: bytes | None = None
    skew_ms: int | None = None

    @property
    def about(self) -> UUID:
        if self.item is None:
            raise CannotBe(_(GONE))
        return self.item

    @property
    def at_station(self) -> int:
        if self.station is None:
            raise CannotBe(_(GONE))
        return self.station


def begin(walk: WalkRound, told: Told) -> WalkRound:
    """`walk` is not stored yet: its leg and kind say what begins."""
    if not walk.is_return:
        plate = told.fields.get("plate")
        return actions.start_walk(walk.leg, kind=WalkRound.Kind.PICKUP, plate=plate, act=told.act)
    with in_zone_of(walk.leg.rental.branch):
        form = ReturnForm(told.fields.plain())
        if not form.is_valid():
            field, problems = next(iter(form.errors.items()))
            raise CannotBe(str(problems[0]), field)
    return actions.start_walk(walk.leg, kind=WalkRound.Kind.RETURN, act=told.act, **form.cleaned_data)


def check(walk: WalkRound, told: Told) -> CheckAnswer:
    word = choice_of(told.fields, "word", CheckAnswer.Word)
    return actions.answer_check(walk, item=told.about, word=word, note=told.fields.get("note"), act=told.act)


def reading(walk: WalkRound, told: Told) -> Reading:
    state = choice_of(told.fields, "state", Reading.State, usual="read")
    return actions.take_reading(
        walk, item=told.about, typed=told.fields.get("typed"), state=state, is_so=bool(told.fields.get("is_so")),
        act=told.act,
    )  # fmt: skip


def count(walk: WalkRound, told: Told) -> Count:
    """What is typed; else what was offered; "none" says that nobody counted."""
    present = number_of(told.fields, "present", "offered")
    return actions.count(walk, item=told.about, present=present, act=told.act)


def seal(walk: WalkRound, told: Told) -> SealCheck:
    return actions.check_seal(
        walk, item=told.about, state=choice_of(told.fields, "state", SealCheck.State),
        seal_number=told.fields.get("seal_number"), used=told.fields.all("used"), act=told.act,
    )  # fmt: skip


def topic(walk: WalkRound, told: Told) -> TopicHeard:
    """The customer's own press, or a companion's by name, or what the host says of a topic that needs none."""
    return actions.hear_topic(
        walk, item=told.about, outcome=choice_of(told.fields, "outcome", TopicHeard.Outcome),
        heard_by=told.fields.get("heard_by").strip(),
        language=told.fields.get("language") or language_of(walk).code,
        text_sha256=sha256_of(told.fields, "text_sha256"),
        seconds=None if walk.paper_id else seconds_shown(told.fields, now=told.act.at),
        act=told.act,
    )  # fmt: skip


def language(walk: WalkRound, told: Told) -> WalkRound:
    return choose_language(walk, language=told.fields.get("language"), act=told.act)


def mark(walk: WalkRound, told: Told) -> Mark:
    seen, spot = mark_seen(told.fields), spot_of(told.fields)
    return actions.pin_mark(walk, station=told.at_station, seen=seen, spot=spot, act=told.act)


def judge(walk: WalkRound, told: Told) -> MarkFinding:
    word = choice_of(told.fields, "word", MarkFinding.Word)
    size_mm = whole(told.fields.get("size_mm").strip(), "size_mm") if "size_mm" in told.fields else None
    return actions.judge_mark(
        walk, mark_id=told.about, word=word, size_mm=size_mm, spot=spot_of(told.fields), act=told.act
    )


def rest(walk: WalkRound, told: Told) -> WalkRound:
    return actions.rest_as_before(walk, station=told.at_station, act=told.act)


def photo(walk: WalkRound, told: Told) -> Photo:
    if told.data is None:
        raise CannotBe(_("No photo came with it. Take one, or choose one that is on this tablet."), "photo")
    subject, view = shows(walk, told.at_station, told.fields.get("subject"))
    sent = sent_of(told.fields, skew_ms=told.skew_ms)
    return add_photo(
        walk, station=told.at_station, data=told.data, view=view, subject=subject, sent=sent, act=told.act
    )  # fmt: skip


def remark(walk: WalkRound, told: Told) -> Remark:
    return actions.remark(walk, text=told.fields.get("text"), act=told.act)


def hand_over(walk: WalkRound, told: Told) -> WalkRound:
    """Both signatures and the end of the pickup, or none of them."""
    staff = told.fields.get("name_staff") if walk.paper_id else ""
    names = {"customer": told.fields.get("name_customer"), "staff": staff or str(told.act.by)}
    # Made from the form's key, so that it signs nothing twice; in their order, as both sign at one moment.
    keys = sorted(uuid5(told.act.key, role) for role in names)
    with transaction.atomic():
        for (role, name), key in zip(names.items(), keys, strict=True):
            _sign(walk, replace(told, act=replace(told.act, key=key)), role, name)
        return actions.finish(walk, act=told.act)


def _sign(walk: WalkRound, told: Told, role: str, name: str) -> None:
    if walk.paper_id:
        actions.sign_on_paper(walk, role=role, name=name, act=told.act)
        return
    shown = Shown(told.fields.get("shown"), told.fields.get("shown_sha256")) if "shown" in told.fields else None
    try:
        actions.sign_walk(
            walk, role=role, name=name, strokes=strokes_of(told.fields, f"strokes_{role}"),
            seen_sha256=told.fields.get("seen_sha256"), shown=shown, act=told.act,
        )  # fmt: skip
    except CannotBe as problem:
        raise CannotBe(problem.sentence, f"{problem.field}_{role}") from problem


def left(walk: WalkRound, told: Told) -> WalkRound:
    return actions.customer_left(walk, words=told.fields.get("words"), act=told.act)


def take_back(walk: WalkRound, told: Told) -> WalkRound:
    return actions.finish(walk, act=told.act)


def release(walk: WalkRound, told: Told) -> Hold:
    """The hold by its own id, or by the question that holds: a tablet without a network knows only that."""
    holds = Hold.objects.filter(walk=walk).select_related("walk__leg__rental")
    known = told.item is not None
    meant = [row for row in holds if known and told.item in {row.pk, row.answer_id, row.reading_id, row.subject}]
    hold = min(meant, key=lambda row: row.released_at is not None, default=None)
    if hold is None:
        raise CannotBe(_("Nothing holds the unit here. Open the station again."))
    return actions.release(hold, reason=told.fields.get("reason"), act=told.act)


BY_KIND: dict[str, Callable[[WalkRound, Told], object]] = {
    "begin": begin,
    "check": check,
    "reading": reading,
    "count": count,
    "seal": seal,
    "topic": topic,
    "language": language,
    "mark": mark,
    "judge": judge,
    "rest": rest,
    "photo": photo,
    "remark": remark,
    "left": left,
    "hand-over": hand_over,
    "take-back": take_back,
    "release": release,
}


def _in_its_time(kind: str, tell: Callable[[WalkRound, Told], object]) -> Callable[[WalkRound, Told], object]:
    """What is keyed in from paper happened when the sheet says."""

    def telling(walk: WalkRound, told: Told) -> object:
        return tell(walk, replace(told, act=as_it_happened(walk, kind, told.act)) if walk.paper_id else told)

    return telling


TOLD = {kind: _in_its_time(kind, tell) for kind, tell in BY_KIND.items()}
