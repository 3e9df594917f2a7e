"""Waivers, corrections, readings taken again, objections, and settled rentals opened again."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from handover.counter.models.act import CounterRow
from handover.photo.models import Photo
from handover.statement.models import Statement
from handover.walkround.models import Reading


class Waiver(CounterRow):
    """A line reduced by percent or amount, as it was entered; `second` is who confirmed what is above a limit."""

    class Reason(models.TextChoices):
        UNCLEAR_BASELINE = "unclear_baseline", _("Unclear how it left")
        PHOTO_MISSING = "photo_missing", _("Photo missing")
        HANDED_OVER_SO = "handed_over_so", _("Unit handed over so")
        SERVICE_FAILURE = "service_failure", _("Service failure")
        SMALL_AMOUNT = "small_amount", _("Small amount")
        LONG_STANDING = "long_standing", _("Long-standing customer")
        STAFF_ERROR = "staff_error", _("Our error")
        WEATHER = "weather", _("Weather")
        SAFETY_USE = "safety_use", _("Used for safety")

    code = models.CharField(max_length=20)
    ref = models.CharField(max_length=200)
    percent = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    amount = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    reason = models.CharField(max_length=20, choices=Reason.choices)
    second = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    withdrawn_words = models.CharField(max_length=300, blank=True)

    class Meta(CounterRow.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(percent__gt=0, percent__lte=100, amount__isnull=True)
                | Q(percent__isnull=True, amount__gt=0),
                name="waived_by_percent_or_amount",
            ),
            models.CheckConstraint(
                condition=Q(second__isnull=True) | ~Q(second=F("by")), name="a_second_person_is_another"
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True, withdrawn_by__isnull=True)
                | (Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False) & ~Q(withdrawn_words="")),
                name="withdrawn_with_a_reason",
            ),
        ]


class Credit(CounterRow):
    """Money given back that no line asks for; `words` say why, `second` confirmed what is above a limit."""

    class Kind(models.TextChoices):
        GOODWILL = "GOODWILL", _("Goodwill")
        SERVICE_FAILURE = "SERVICE_FAILURE", _("Service failure")
        OVERPAID = "OVERPAID", _("Paid too much")

    kind = models.CharField(max_length=16, choices=Kind.choices)
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    second = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta(CounterRow.Meta):
        constraints = [
            models.CheckConstraint(condition=Q(amount__gt=0) & ~Q(words=""), name="a_credit_is_above_0_and_says_why"),
            models.CheckConstraint(
                condition=Q(second__isnull=True) | ~Q(second=F("by")), name="who_confirms_a_credit_is_another"
            ),
        ]


class Correction(CounterRow):
    """A reading put right with evidence. The reading itself stays as it was taken; `words` say why."""

    reading = models.ForeignKey(Reading, on_delete=models.PROTECT, related_name="corrections")
    was = models.DecimalField(max_digits=12, decimal_places=3)
    value = models.DecimalField(max_digits=12, decimal_places=3)
    typed = models.CharField(max_length=40)
    doubt = models.CharField(max_length=200, blank=True)
    evidence = models.ManyToManyField(Photo, related_name="+")


class Refill(CounterRow):
    """Filled up at the counter and read again: the pump's litres stand beside the later reading."""

    reading = models.OneToOneField(Reading, on_delete=models.PROTECT, related_name="refill")
    litres = models.DecimalField(max_digits=7, decimal_places=3)
    pumped_at = models.DateTimeField()


class Reopening(CounterRow):
    """A settled statement opened again. The next version states the difference to it."""

    class Cause(models.TextChoices):
        LATE_FINDING = "late_finding", _("Late finding")
        DISPUTE = "dispute", _("Dispute")
        NOTICE = "notice", _("Fine or toll")
        INVOICE_DIFFERENCE = "invoice_difference", _("Invoice differs from estimate")
        CORRECTION = "correction", _("Correction")
        RECOVERY = "recovery", _("Third party paid")

    statement = models.OneToOneField(Statement, on_delete=models.PROTECT, related_name="reopening")
    cause = models.CharField(max_length=20, choices=Cause.choices)


class Objection(CounterRow):
    """What the customer says against a line, in their own words (`words`), raised on one version."""

    statement = models.ForeignKey(Statement, on_delete=models.PROTECT, related_name="objections")
    code = models.CharField(max_length=20)
    ref = models.CharField(max_length=200)
    title = models.CharField(max_length=200, help_text=_("The line as it was called then."))


class ObjectionOutcome(CounterRow):
    """How an objection stands; the latest counts. Deferred keeps an announced most out of the deposit until a day."""

    class Outcome(models.TextChoices):
        ACCEPTED = "accepted", _("Accepted")
        UNDER_PROTEST = "under_protest", _("Accepted under protest")
        DISPUTED = "disputed", _("Disputed")
        DEFERRED = "deferred", _("Deferred")

    objection = models.ForeignKey(Objection, on_delete=models.PROTECT, related_name="outcomes")
    outcome = models.CharField(max_length=14, choices=Outcome.choices)
    most = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    until = models.DateField(null=True)

    class Meta(CounterRow.Meta):
        constraints = [
            models.CheckConstraint(
                condition=~Q(outcome="deferred") | (Q(most__isnull=False, until__isnull=False) & ~Q(words="")),
                name="deferred_to_a_day_up_to_a_most",
            )
        ]
