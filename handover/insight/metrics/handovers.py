"""How long handovers take, what of the baseline they leave, how safety topics are told, who signs."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db.models import Case, CharField, Count, Exists, F, OuterRef, Q, QuerySet, Value, When
from django.db.models.functions import Concat
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fleet.models import Topic
from handover.insight.asking import Asked
from handover.insight.facts import drill_among, minutes, person
from handover.insight.metrics.ranked import Ranked, quantile_table
from handover.insight.table import Column, Row, Table, share
from handover.photo.models import Photo
from handover.statement.models import Signature
from handover.walkround.models import Reading, Sheet, TopicHeard, WalkRound
from handover.walkround.sheet import SheetData

OF_WALK = "leg__rental__"


def pickups_of(asked: Asked) -> QuerySet[WalkRound]:
    """The finished pickups of the rentals of the period."""
    walks = WalkRound.objects.filter(asked.due_back(OF_WALK), finished_at__isnull=False)
    return walks.filter(kind=WalkRound.Kind.PICKUP)


def pickup_minutes(asked: Asked) -> Table:
    return _by_host(asked, WalkRound.Kind.PICKUP, _("Pickup, minutes by host"))


def return_minutes(asked: Asked) -> Table:
    return _by_host(asked, WalkRound.Kind.RETURN, _("Return, minutes by host"))


def _by_host(asked: Asked, kind: str, title: str) -> Table:
    facts = _timed(asked, kind).annotate(group=F("finished_by"), label=person("finished_by"), value=F("took"))
    definition = _("From the first press to the last of a finished walk-round: the time within which half were done "
                   "(the median), and nine of ten.")  # fmt: skip
    unknown = _("A walk-round that was begun, left and taken up again counts with the pause.")
    axis = _("Minutes within which half were done, and nine of ten")
    told = Ranked(title, definition, _columns(Column("host", _("Host"), figures=False), _("Walk-rounds")),
                  minutes, _walks, unknown=(unknown,), axis=axis)  # fmt: skip
    return quantile_table(facts, told, rental="leg__rental_id")


def _columns(group: Column, many: str) -> tuple[Column, Column, Column, Column]:
    return (
        group, Column("walks", many), Column("median_min", _("Half within, minutes")),
        Column("p90_min", _("Nine of ten within, minutes")),
    )  # fmt: skip


def _timed(asked: Asked, kind: str) -> QuerySet[Any]:
    walks = WalkRound.objects.filter(asked.due_back(OF_WALK), kind=kind, finished_at__gte=F("started_at"))
    return walks.annotate(took=F("finished_at") - F("started_at"))


def _walks(count: int) -> str:
    return ngettext("%(count)s walk-round", "%(count)s walk-rounds", count) % {"count": count}


def minutes_by_layout(asked: Asked) -> Table:
    facts = _timed(asked, WalkRound.Kind.PICKUP).annotate(
        group=F("leg__unit__layout"), label=F("leg__unit__layout__name"), value=F("took")
    )
    definition = _(
        "From the first press to the last of a finished pickup, by how the unit is built: the time within which "
        "half were done (the median), and nine of ten. In under 20 minutes a first-timer has hardly been briefed."
    )
    unknown = _("A customer is entered anew with each booking: who has been here before is not known.")
    layout = _columns(Column("layout", _("Layout"), figures=False), _("Pickups"))
    told = Ranked(_("Pickup, minutes by layout"), definition, layout, minutes, _walks, unknown=(unknown,))
    return quantile_table(facts, told, rental="leg__rental_id")


def baseline_completeness(asked: Asked) -> Table:
    """Of each branch: pickups that left every reading and every photo that was asked for."""
    walks = list(_answered(asked))
    sheets = asked.once(_sheets)
    shown = _photographed(asked)
    counts: dict[Any, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    gaps: dict[str, set[UUID]] = defaultdict(set)
    for walk in walks:
        sheet = sheets[walk["sheet_id"]]
        read, seen = walk["read"] >= len(sheet.instruments), sheet.views <= shown.get(walk["pk"], set())
        for place, is_so in enumerate((True, read, seen, read and seen)):
            counts[walk["leg__rental__branch_id"]][place] += is_so
        if not (read and seen):
            gaps[str(walk["leg__rental__branch_id"])].add(walk["leg__rental_id"])
    return Table(
        title=_("Baseline complete"),
        definition=_(
            "Pickups at which every instrument was read (or does not apply) and every photo that the layout asks for "
            "was taken. Every gap is money that cannot be claimed. A row opens the rentals with gaps."
        ),
        columns=(
            Column("branch", _("Branch"), figures=False), Column("pickups", _("Pickups")),
            Column("readings_pct", _("All readings, %")), Column("photos_pct", _("All photos, %")),
            Column("both_pct", _("Readings and photos, %")),
        ),
        rows=tuple(
            Row((one.name, many, share(read, many), share(seen, many), share(both, many)), key=str(one.pk))
            for one in asked.branches
            for many, read, seen, both in [counts[one.pk]]
            if many
        ),
        rests_on=len(walks),
        rests_words=_pickups(len(walks)),
        drill=drill_among(gaps),
    )  # fmt: skip


def _pickups(count: int) -> str:
    return ngettext("%(count)s pickup", "%(count)s pickups", count) % {"count": count}


def _answered(asked: Asked) -> Iterator[Any]:
    """Each pickup with how many of its instruments have an answer that is a reading, by the latest of each."""
    later = Reading.objects.filter(walk=OuterRef("readings__walk"), item=OuterRef("readings__item")).filter(
        Q(at__gt=OuterRef("readings__at")) | Q(at=OuterRef("readings__at"), id__gt=OuterRef("readings__id"))
    )
    told: Any = Q(readings__state__in=[Reading.State.READ, Reading.State.NOT_APPLICABLE]) & ~Exists(later)
    rows = pickups_of(asked).annotate(read=Count("readings__item", filter=told, distinct=True))
    yield from rows.order_by().values("pk", "sheet_id", "leg__rental_id", "leg__rental__branch_id", "read")


@dataclass(frozen=True, slots=True)
class AtPickup:
    """What a sheet asks for at pickup: instruments, the subjects of photos, and how many topics."""

    instruments: set[UUID]
    views: set[UUID]
    topics: int


def _sheets(asked: Asked) -> dict[str, AtPickup]:
    """By digest those of the finished pickups. One query."""
    own = pickups_of(asked).order_by().values("sheet")
    return {row.pk: _of_pickup(row.data) for row in Sheet.objects.filter(pk__in=own)}


def _of_pickup(sheet: SheetData) -> AtPickup:
    return AtPickup(
        instruments={ask.id for _station, ask in sheet.instruments() if ask.at != "return"},
        views={view.subject for station in sheet.stations for view in station.views if view.at != "return"},
        topics=sum(len(station.topics) for station in sheet.stations),
    )


def _photographed(asked: Asked) -> dict[UUID, set[UUID]]:
    found: dict[UUID, set[UUID]] = defaultdict(set)
    photos = Photo.objects.filter(walk__in=pickups_of(asked), subject__isnull=False)
    for walk, subject in photos.order_by().values_list("walk_id", "subject").distinct():
        if subject:
            found[walk].add(subject)
    return found


def topic_seconds(asked: Asked) -> Table:
    heard = TopicHeard.objects.filter(
        asked.due_back("walk__leg__rental__"), item__severity=Topic.Severity.SAFETY, seconds__isnull=False
    )
    facts = heard.annotate(group=F("by"), label=person("by"), value=F("seconds"))
    definition = _(
        "How long a safety-critical topic stood open before it was answered: the time that nine of ten took at "
        "least, and half of them (the median). Very short times are ticks, not talk."
    )
    columns = (
        Column("host", _("Host"), figures=False), Column("topics", _("Topics")),
        Column("p10_s", _("Nine of ten took at least, seconds")), Column("median_s", _("Half took at least, seconds")),
    )  # fmt: skip
    axis = _("Seconds that nine of ten took at least, and half")
    told = Ranked(_("Seconds per safety topic"), definition, columns, int, _safety_topics, (10, 50), axis=axis)
    return quantile_table(facts, told, rental="walk__leg__rental_id")


def _safety_topics(count: int) -> str:
    return ngettext("%(count)s safety topic", "%(count)s safety topics", count) % {"count": count}


def refusals(asked: Asked) -> Table:
    """Signatures that were refused or could not be asked for, and topics that were declined."""
    signed = Signature.objects.filter(asked.due_back("rental__"), role=Signature.Role.CUSTOMER)
    about = Case(When(statement__isnull=True, then="walk__kind"), default=Value("statement"), output_field=CharField())
    facts = signed.annotate(group=Concat(about, Value(" "), "outcome", output_field=CharField()))
    rows = facts.order_by().values("group").annotate(many=Count("pk")).order_by("group")
    told = {row["group"]: row["many"] for row in rows}
    topics = TopicHeard.objects.filter(asked.due_back("walk__leg__rental__"))
    said = dict(topics.order_by().values_list("outcome").annotate(many=Count("pk")))
    whole = sum(told.values()) + sum(said.values())
    return Table(
        title=_("Signatures and topics refused"),
        definition=_("What customers did not sign, and topics they declined to hear. Each statement and walk-round "
                     "counts with every answer that was given."),
        columns=(
            Column("what", _("What was asked for"), figures=False), Column("asked", _("Times asked")),
            Column("refused", _("Refused")),
            Column("absent", _("Not present")), Column("refused_pct", _("Refused, %")),
        ),
        rows=(*(row for row in _refused(told)), _declined(said)),
        rests_on=whole,
        rests_words=ngettext("%(count)s answer", "%(count)s answers", whole) % {"count": whole},
        drill=lambda key: _refusing(facts, topics, key),
    )  # fmt: skip


def _refused(told: dict[str, int]) -> Iterator[Row]:
    for about, title in (("pickup", _("Pickup")), ("return", _("Return")), ("statement", _("Statement"))):
        each = {outcome: told.get(f"{about} {outcome}", 0) for outcome in Signature.Outcome.values}
        whole = sum(each.values())
        refused = each[Signature.Outcome.REFUSED]
        yield Row(
            (title, whole, refused, each[Signature.Outcome.ABSENT], share(refused, whole)), key=f"{about} refused"
        )


def _declined(said: dict[str, int]) -> Row:
    whole, declined = sum(said.values()), said.get(TopicHeard.Outcome.DECLINED, 0)
    return Row((_("Topics"), whole, declined, 0, share(declined, whole)), key="topics")


def _refusing(signed: QuerySet[Any], topics: QuerySet[TopicHeard], key: str) -> Iterable[UUID]:
    if key == "topics":
        return set(topics.filter(outcome=TopicHeard.Outcome.DECLINED).values_list("walk__leg__rental_id", flat=True))
    return set(signed.filter(group=key).values_list("rental_id", flat=True))


def topics_skipped(asked: Asked) -> Table:
    """Topics of finished pickups that nobody told, by host."""
    walks = list(
        pickups_of(asked)
        .annotate(told=Count("topicheards__item", distinct=True), host=person("finished_by"))
        .order_by()
        .values("sheet_id", "leg__rental_id", "finished_by_id", "host", "told")
    )
    sheets = asked.once(_sheets)
    hosts: dict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0, 0])
    members: dict[str, set[UUID]] = defaultdict(set)
    for walk in walks:
        wanted = sheets[walk["sheet_id"]].topics
        missed = max(wanted - walk["told"], 0)
        for place, add in enumerate((1, wanted, missed)):
            hosts[walk["host"], str(walk["finished_by_id"])][place] += add
        if missed:
            members[str(walk["finished_by_id"])].add(walk["leg__rental_id"])
    asked_for = sum(each[1] for each in hosts.values())
    return Table(
        title=_("Topics skipped"),
        definition=_("Topics that the layout asks for and that have no answer when the pickup was finished."),
        columns=(
            Column("host", _("Host"), figures=False), Column("pickups", _("Pickups")), Column("topics", _("Topics")),
            Column("skipped", _("Skipped")), Column("skipped_pct", _("Skipped, %")),
        ),
        rows=tuple(
            Row((host, many, topics, missed, share(missed, topics)), key=pk)
            for (host, pk), (many, topics, missed) in sorted(hosts.items())
        ),
        rests_on=asked_for,
        rests_words=ngettext("%(count)s topic", "%(count)s topics", asked_for) % {"count": asked_for},
        drill=drill_among(members),
    )  # fmt: skip
