"""Walk-rounds and what was found on them. Nothing is overwritten: a later answer is a later row."""

from functools import cached_property

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from fleet.models import CheckItem, Equipment, Instrument, Kit, Topic, Unit
from handover.paper.models import PaperSheet
from handover.rental.models import Leg
from handover.walkround.sheet import SheetData, sheet_from_json
from handover.written import Written
from shared.ids import uuid7
from shared.phrasebook import inside


class Sheet(models.Model):
    """The questions of a walk-round as they stood when it began, kept once for all walk-rounds that share them.

    A later change of the layout, a tank or a price never rewrites what was asked and promised.
    """

    digest = models.CharField(primary_key=True, max_length=64, editable=False)
    text = models.TextField(editable=False)

    def __str__(self) -> str:
        return self.digest[:12]

    @cached_property
    def data(self) -> SheetData:
        return sheet_from_json(self.text)


class WalkRound(Written):
    class Kind(models.TextChoices):
        PICKUP = "pickup", gettext_lazy("Pickup")
        RETURN = "return", gettext_lazy("Return")

    class Mode(models.TextChoices):
        ATTENDED = "attended", gettext_lazy("Customer present")
        KEY_DROP = "key_drop", gettext_lazy("Key drop")
        ABSENT = "absent", gettext_lazy("Customer absent")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    leg = models.ForeignKey(Leg, on_delete=models.PROTECT, related_name="walk_rounds")
    kind = models.CharField(max_length=6, choices=Kind.choices)
    mode = models.CharField(max_length=8, choices=Mode.choices, default=Mode.ATTENDED)
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT)
    # The walk-round whose answers are offered: the last return at pickup, this leg's pickup at return.
    before = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="after")
    language = models.CharField(
        max_length=8, blank=True, help_text=gettext_lazy("Chosen for the briefing. Empty: as booked.")
    )
    arrived_at = models.DateTimeField(
        null=True, blank=True, help_text=gettext_lazy("At the gate, not when a host is free.")
    )
    # Nobody saw it come: arrived_at is then the earliest it can have been, this the latest.
    arrived_until = models.DateTimeField(null=True, blank=True)
    keys_found_at = models.DateTimeField(null=True, blank=True)
    keys_found_by = models.CharField(max_length=120, blank=True)
    # The customer was there when it began and left before its end: what is found later is found without them.
    left_at = models.DateTimeField(null=True, blank=True)
    left_because = models.CharField(max_length=200, blank=True)
    moved_first = models.BooleanField(
        default=False, help_text=gettext_lazy("Moved or washed after the key drop, before anybody looked at it.")
    )
    paper = models.OneToOneField(
        PaperSheet, on_delete=models.PROTECT, null=True, blank=True, related_name="walk",
        help_text=gettext_lazy("The sheet that it was keyed in from."),
    )  # fmt: skip
    started_at = models.DateTimeField()
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    finished_at = models.DateTimeField(null=True, blank=True)
    finished_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["leg", "kind"], name="one_walk_round_a_kind"),
            models.CheckConstraint(
                condition=Q(arrived_until__isnull=True) | Q(arrived_until__gte=F("arrived_at")),
                name="arrived_between_in_order",
            ),
            models.CheckConstraint(
                condition=Q(keys_found_at__isnull=True, keys_found_by="")
                | (Q(keys_found_at__isnull=False) & ~Q(keys_found_by="")),
                name="keys_found_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return _("%(kind)s of %(leg)s") % {"kind": self.get_kind_display(), "leg": self.leg}

    @property
    def is_return(self) -> bool:
        return self.kind == self.Kind.RETURN


class Answer(Written):
    """Given at one moment by one person; the client's key is its primary key, so a replay finds it."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="%(class)ss")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    # "Rest as last return" gives many answers with one press; the record says so.
    in_bulk = models.BooleanField(default=False)

    class Meta:
        abstract = True
        ordering = ["at", "id"]


class CheckAnswer(Answer):
    class Word(models.TextChoices):
        GOOD = "good", "good"
        BAD = "bad", "bad"
        NOT_INSPECTED = "not_inspected", gettext_lazy("not inspected")
        NOT_APPLICABLE = "not_applicable", gettext_lazy("not applicable")

    item = models.ForeignKey(CheckItem, on_delete=models.PROTECT, related_name="answers")
    word = models.CharField(max_length=14, choices=Word.choices)
    note = models.CharField(max_length=300, blank=True)


class Reading(Answer):
    class State(models.TextChoices):
        READ = "read", "read"
        NOT_READ = "not_read", gettext_lazy("not read")
        NOT_APPLICABLE = "not_applicable", gettext_lazy("not applicable")

    item = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="readings")
    state = models.CharField(max_length=14, choices=State.choices, default=State.READ)
    value = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    half_width = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    typed = models.CharField(max_length=40, blank=True, help_text=gettext_lazy("As it was typed, with its unit."))
    doubt = models.CharField(
        max_length=200, blank=True, help_text=gettext_lazy("What looked unlikely when it was kept.")
    )
    # Asked about the doubt, whoever gave this answer looked again and said that it is so.
    is_so = models.BooleanField(default=False)

    class Meta(Answer.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(state="read", value__isnull=False) | (~Q(state="read") & Q(value__isnull=True)),
                name="a_value_only_when_read",
            )
        ]


class Count(Answer):
    item = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="counts")
    present = models.PositiveSmallIntegerField(null=True, help_text=gettext_lazy("Empty: not counted."))
    note = models.CharField(max_length=300, blank=True)


class SealCheck(Answer):
    class State(models.TextChoices):
        WHOLE = "whole", "whole"
        BROKEN = "broken", "broken"
        NOT_PRESENT = "not_present", gettext_lazy("not there")
        NOT_INSPECTED = "not_inspected", gettext_lazy("not inspected")

    item = models.ForeignKey(Kit, on_delete=models.PROTECT, related_name="seal_checks")
    state = models.CharField(max_length=14, choices=State.choices)
    seal_number = models.CharField(max_length=20, blank=True)
    used = models.JSONField(default=list)
    note = models.CharField(max_length=300, blank=True)


class TopicHeard(Answer):
    class Outcome(models.TextChoices):
        UNDERSTOOD = "understood", "understood"
        EXPLAINED = "explained", "explained"
        SHOWN = "shown", "shown"
        DECLINED = "declined", "declined"

    item = models.ForeignKey(Topic, on_delete=models.PROTECT, related_name="heard")
    outcome = models.CharField(max_length=10, choices=Outcome.choices)
    heard_by = models.CharField(max_length=120, blank=True)
    language = models.CharField(max_length=8, default="en")
    text_sha256 = models.CharField(max_length=64, blank=True, help_text=gettext_lazy("Of the text that was shown."))
    seconds = models.PositiveIntegerField(null=True)


class Mark(Written):
    """A damage. Belongs to the unit until it is repaired and keeps its number for life."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="marks")
    number = models.PositiveIntegerField()
    station_number = models.PositiveSmallIntegerField()
    kind = models.CharField(
        max_length=12,
        choices=[
            ("scratch", gettext_lazy("Scratch")),
            ("scuff", gettext_lazy("Scuff")),
            ("scrape", gettext_lazy("Scrape")),
            ("chip", gettext_lazy("Chip")),
            ("dent", gettext_lazy("Dent")),
            ("crack", gettext_lazy("Crack")),
            ("tear", gettext_lazy("Tear")),
            ("stain", gettext_lazy("Stain")),
            ("other", gettext_lazy("Other")),
        ],
    )
    part = models.CharField(
        max_length=12,
        choices=[
            ("panel", gettext_lazy("Body panel")),
            ("bumper", gettext_lazy("Bumper")),
            ("door", gettext_lazy("Door")),
            ("mirror", gettext_lazy("Mirror")),
            ("light", gettext_lazy("Light")),
            ("window", gettext_lazy("Window")),
            ("windscreen", gettext_lazy("Windscreen")),
            ("roof", gettext_lazy("Roof")),
            ("underbody", gettext_lazy("Underbody")),
            ("rim", gettext_lazy("Wheel rim")),
            ("tyre", gettext_lazy("Tyre")),
            ("awning", gettext_lazy("Awning")),
            ("step", gettext_lazy("Entrance step")),
            ("interior", gettext_lazy("Interior")),
            ("other", gettext_lazy("Other")),
        ],
        default="panel",
        help_text=gettext_lazy("What a repair is priced by."),
    )
    place = models.CharField(max_length=80)
    size_mm = models.PositiveIntegerField()
    x_mm = models.IntegerField()
    y_mm = models.IntegerField()
    found_at = models.DateTimeField()
    found_on = models.ForeignKey(
        WalkRound, on_delete=models.PROTECT, null=True, blank=True, related_name="marks_found",
        help_text=gettext_lazy("Empty when the yard found it."),
    )  # fmt: skip
    found_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    repaired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["unit", "number"], name="a_mark_keeps_its_number")]

    def __str__(self) -> str:
        return _("Mark %(number)s, %(kind)s %(size_mm)s mm, %(place)s") % {
            "number": self.number,
            "kind": inside(self.get_kind_display()),
            "size_mm": self.size_mm,
            "place": self.place,
        }


class MarkFinding(Answer):
    """A known mark looked at again."""

    class Word(models.TextChoices):
        AS_WAS = "as_was", gettext_lazy("as was")
        WORSE = "worse", "worse"
        UNSEEN = "unseen", gettext_lazy("not inspected")

    mark = models.ForeignKey(Mark, on_delete=models.PROTECT, related_name="findings")
    word = models.CharField(max_length=6, choices=Word.choices)
    size_mm = models.PositiveIntegerField(null=True)


class Remark(Answer):
    """What the customer says, in their own words."""

    text = models.TextField()


class Hold(Written):
    """What keeps the unit here until a person with the right says why not.

    `subject` is what was asked: the check, the instrument, the kit; of a load the leg. `put_right`: nobody had to
    release it, a later answer was good.
    """

    class Cause(models.TextChoices):
        CHECK = "check", gettext_lazy("A safety check failed")
        TREAD = "tread", gettext_lazy("A tyre is worn")
        GAS = "gas", gettext_lazy("A cylinder is too full")
        KIT = "kit", gettext_lazy("A kit expires")
        LOAD = "load", gettext_lazy("Overloaded on paper")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="holds")
    cause = models.CharField(max_length=5, choices=Cause.choices, default=Cause.CHECK)
    subject = models.UUIDField()
    answer = models.OneToOneField(CheckAnswer, on_delete=models.PROTECT, null=True, related_name="hold")
    reading = models.OneToOneField(Reading, on_delete=models.PROTECT, null=True, related_name="hold")
    sentence = models.CharField(max_length=500)
    put_right = models.BooleanField(default=False)
    released_at = models.DateTimeField(null=True)
    released_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(released_at__isnull=True, released_by__isnull=True)
                | (Q(released_at__isnull=False, released_by__isnull=False) & ~Q(reason="")),
                name="released_with_a_reason",
            ),
            models.CheckConstraint(
                condition=Q(cause="check", answer__isnull=False, reading__isnull=True)
                | Q(cause__in=["tread", "gas"], answer__isnull=True, reading__isnull=False)
                | Q(cause__in=["kit", "load"], answer__isnull=True, reading__isnull=True),
                name="held_by_exactly_one_cause",
            ),
        ]


class ShownOffline(models.Model):
    """What a tablet without a network showed when it was signed: the text under its digest, and how it differs.

    `differences` are [{"part", "shown", "stands"}, ...]: keys of the answer that was shown and of the one that stood
    when the signature arrived, either of them empty.
    """

    digest = models.CharField(primary_key=True, max_length=64, editable=False)
    walk = models.ForeignKey(WalkRound, on_delete=models.PROTECT, related_name="shown_offline")
    text = models.TextField(editable=False)
    differences = models.JSONField(default=list)
    at = models.DateTimeField()

    def __str__(self) -> str:
        return self.digest[:12]
