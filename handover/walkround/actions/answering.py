"""One answer at a time: checks, readings, counts, seals, topics and the customer's own remarks."""

from collections.abc import Sequence
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.briefing.texts import words_in, words_of_sha256, words_sha256
from handover.walkround.actions.holding import settle_check, settle_kit, settle_load, settle_reading
from handover.walkround.guard import asked, begin
from handover.walkround.levels import shown
from handover.walkround.models import CheckAnswer, Count, Reading, Remark, SealCheck, TopicHeard, WalkRound
from handover.walkround.reading import read
from handover.walkround.sheet import CheckAsk, InstrumentAsk
from shared.ledger.personal import personal, worded


@transaction.atomic
def answer_check(walk: WalkRound, *, item: UUID, word: str, act: Act, note: str = "") -> CheckAnswer:
    """Good, bad, not inspected or not applicable. A bad answer to a safety check holds the unit."""
    if earlier := begin(walk, CheckAnswer, "check.answered", act):
        return earlier
    ask = check_asked(walk, item)
    answer = CheckAnswer.objects.create(
        id=act.key, walk=walk, item_id=item, word=CheckAnswer.Word(word), note=note, at=act.at, by=act.by
    )
    settle_check(walk, ask, answer)
    act.write(
        chain=walk.leg.rental_id,
        kind="check.answered",
        subject=answer.pk,
        payload={"walk": str(walk.pk), "check": ask.text, "item": str(item), "word": word, "note": worded(note)},
    )
    return answer


def reading_asked(walk: WalkRound, item: UUID) -> InstrumentAsk:
    return asked((ask for _, ask in walk.sheet.data.instruments()), item, "reading")


def check_asked(walk: WalkRound, item: UUID) -> CheckAsk:
    return asked((check for station in walk.sheet.data.stations for check in station.checks), item, "check")


@transaction.atomic
def take_reading(
    walk: WalkRound, *, item: UUID, typed: str, act: Act, state: str = "read", is_so: bool = False
) -> Reading:
    """A level or number as typed, with or without its unit. Raises CannotBe for what the instrument cannot read.

    `is_so` answers the question about what looks unlikely; of a reading that leaves none it says nothing.
    """
    if earlier := begin(walk, Reading, "reading.taken", act):
        return earlier
    ask = reading_asked(walk, item)
    taken = read(walk, ask, typed, at=act.at) if state == Reading.State.READ else None
    reading = Reading.objects.create(
        id=act.key,
        walk=walk,
        item_id=item,
        state=Reading.State(state),
        value=taken.value if taken else None,
        half_width=ask.half_width,
        typed=typed.strip() if taken else "",
        doubt=taken.doubt if taken else "",
        is_so=bool(is_so and taken and taken.doubt),
        at=act.at,
        by=act.by,
    )
    settle_reading(walk, ask, reading)
    act.write(
        chain=walk.leg.rental_id,
        kind="reading.taken",
        subject=reading.pk,
        payload={
            "walk": str(walk.pk),
            "instrument": ask.name,
            "code": ask.code,
            "item": str(item),
            "state": state,
            "value": str(taken.value) if taken else None,
            "unit": ask.unit,
            "shown": _shown(walk, ask, reading),
            "half_width": str(ask.half_width),
            "typed": reading.typed,
            "doubt": reading.doubt,
            "is_so": reading.is_so,
        },
    )
    if ask.measures == "fresh_water":
        settle_load(walk, act)
    return reading


def _shown(walk: WalkRound, ask: InstrumentAsk, reading: Reading) -> dict[str, str] | None:
    """As people saw it: the content of a cylinder, miles where the branch drives miles."""
    if reading.value is None:
        return None
    level = shown(ask, reading.value, distance_unit=walk.leg.rental.branch.distance_unit)
    return {"value": str(level.value), "unit": level.unit}


@transaction.atomic
def count(walk: WalkRound, *, item: UUID, present: int | None, act: Act, note: str = "") -> Count:
    """How many are there; None says that nobody counted. More than belong here may be counted: a surplus is kept."""
    if earlier := begin(walk, Count, "equipment.counted", act):
        return earlier
    ask = asked((ask for _, ask in walk.sheet.data.counts()), item, "count")
    if present is not None and not 0 <= present <= ask.quantity + 99:
        raise CannotBe(
            _("%(present)s %(ask)s cannot be counted. %(quantity)s belong here; write 0 or more.")
            % {"present": present, "ask": ask.name, "quantity": ask.quantity},
            "present",
        )
    counted = Count.objects.create(
        id=act.key, walk=walk, item_id=item, present=present, note=note, at=act.at, by=act.by
    )  # fmt: skip
    act.write(
        chain=walk.leg.rental_id,
        kind="equipment.counted",
        subject=counted.pk,
        payload={"walk": str(walk.pk), "equipment": ask.name, "item": str(item), "present": present,
                 "belong": ask.quantity, "note": worded(note)},
    )  # fmt: skip
    return counted


@transaction.atomic
def check_seal(
    walk: WalkRound,
    *,
    item: UUID,
    state: str,
    act: Act,
    seal_number: str = "",
    used: Sequence[str] = (),
    note: str = "",
) -> SealCheck:
    """Whole or broken, with the number that is there and what was used of the contents."""
    if earlier := begin(walk, SealCheck, "seal.checked", act):
        return earlier
    ask = asked((ask for _, ask in walk.sheet.data.kits()), item, "seal")
    if unknown := [name for name in used if name not in ask.contents]:
        raise CannotBe(
            _("%(unknown)s is not in the %(ask)s. It holds: %(contents)s.")
            % {"unknown": unknown[0], "ask": ask.name, "contents": ", ".join(ask.contents)},
            "used",
        )
    checked = SealCheck.objects.create(
        id=act.key,
        walk=walk,
        item_id=item,
        state=SealCheck.State(state),
        seal_number=seal_number.strip(),
        used=list(used),
        note=note,
        at=act.at,
        by=act.by,
    )
    act.write(
        chain=walk.leg.rental_id,
        kind="seal.checked",
        subject=checked.pk,
        payload={"walk": str(walk.pk), "kit": ask.name, "item": str(item), "state": state,
                 "seal_number": checked.seal_number, "used": list(used), "note": worded(note)},
    )  # fmt: skip
    settle_kit(walk, ask, act)
    return checked


@transaction.atomic
def hear_topic(
    walk: WalkRound, *, item: UUID, outcome: str, act: Act, heard_by: str = "", language: str = "en",
    text_sha256: str = "", seconds: int | None = None,
) -> TopicHeard:  # fmt: skip
    """Who heard a topic, in which language, and how long it was shown.

    `text_sha256` is of the words that stood on the screen; without it, those that the sheet has in the language.
    """
    if earlier := begin(walk, TopicHeard, "topic.heard", act):
        return earlier
    ask = asked((topic for station in walk.sheet.data.stations for topic in station.topics), item, "topic")
    words = words_of_sha256(ask, text_sha256) or words_in(ask, language)
    heard = TopicHeard.objects.create(
        id=act.key,
        walk=walk,
        item_id=item,
        outcome=TopicHeard.Outcome(outcome),
        heard_by=heard_by or walk.leg.rental.customer.name,
        language=words.language,
        text_sha256=text_sha256 or words_sha256(words),
        seconds=seconds,
        at=act.at,
        by=act.by,
    )
    act.write(
        chain=walk.leg.rental_id,
        kind="topic.heard",
        subject=heard.pk,
        payload={"walk": str(walk.pk), "topic": ask.title, "item": str(item), "outcome": outcome,
                 "language": heard.language, "text_sha256": heard.text_sha256, "seconds": seconds,
                 "heard_by": personal(heard.heard_by, kind="customer.name")},
    )  # fmt: skip
    return heard


@transaction.atomic
def remark(walk: WalkRound, *, text: str, act: Act) -> Remark:
    """The customer's own words, kept as they are said."""
    if earlier := begin(walk, Remark, "remark.made", act):
        return earlier
    if not text.strip():
        raise CannotBe(_("Nothing is written yet. Write what the customer says."), "text")
    said = Remark.objects.create(id=act.key, walk=walk, text=text.strip(), at=act.at, by=act.by)
    act.write(
        chain=walk.leg.rental_id,
        kind="remark.made",
        subject=said.pk,
        payload={"walk": str(walk.pk), "text": personal(said.text, kind="customer.remark")},
    )
    return said
