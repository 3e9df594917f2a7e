"""Disputes and what came of them. The client's key is the primary key of what a person did; nothing is rewritten."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from handover.counter.models import Waiver
from handover.photo.kept import KeptPhoto
from handover.rental.models import Rental
from handover.statement.models import Statement
from handover.written import Written
from shared.ids import uuid7


class Dispute(Written):
    """One line of one version contested, or the whole payment by the card's bank; `number` counts in the branch.

    `by` is None where the customer opened it by their link. `answer_by` is the last day to answer, in the branch's
    zone; for a chargeback the day until which the bank takes an answer.
    """

    class Kind(models.TextChoices):
        LINE = "line", gettext_lazy("A line of a statement")
        CHARGEBACK = "chargeback", gettext_lazy("Chargeback")

    class State(models.TextChoices):
        OPEN = "open", gettext_lazy("Open")
        DECIDED = "decided", gettext_lazy("Decided")

    class Waits(models.TextChoices):
        BRANCH = "branch", gettext_lazy("The branch")
        CUSTOMER = "customer", gettext_lazy("The customer")
        OTHERS = "others", gettext_lazy("Workshop, insurer or police")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    rental = models.ForeignKey(Rental, on_delete=models.PROTECT, related_name="disputes")
    statement = models.ForeignKey(Statement, on_delete=models.PROTECT, related_name="disputes")
    number = models.PositiveIntegerField()
    kind = models.CharField(max_length=10, choices=Kind.choices, default=Kind.LINE)
    code = models.CharField(max_length=20, blank=True)
    ref = models.CharField(max_length=200, blank=True)
    title = models.CharField(max_length=200, help_text=gettext_lazy("The line as it was called then."))
    words = models.CharField(max_length=1000, help_text=gettext_lazy("In the words of whoever contests it."))
    by_customer = models.BooleanField()
    answer_by = models.DateField()
    waits_for = models.CharField(max_length=8, choices=Waits.choices, default=Waits.BRANCH)
    claimed = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    reason_code = models.CharField(max_length=40, blank=True, help_text=gettext_lazy("As the bank writes it."))
    state = models.CharField(max_length=7, choices=State.choices, default=State.OPEN)
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["state", "answer_by"], name="dispute_open")]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="line", claimed__isnull=True) & ~Q(code="")
                | Q(kind="chargeback", claimed__gt=0, code="", ref=""),
                name="disputes_a_line_or_claims_an_amount",
            ),
            models.CheckConstraint(
                condition=Q(by__isnull=False) | Q(by_customer=True), name="opened_by_somebody_or_the_customer"
            ),
            models.UniqueConstraint(
                fields=["rental", "code", "ref"], condition=Q(state="open", kind="line"), name="a_line_disputed_once"
            ),
        ]

    def __str__(self) -> str:
        return _("Dispute %(number)s") % {"number": self.number}

    @property
    def is_open(self) -> bool:
        return self.state == self.State.OPEN


class DisputePhoto(KeptPhoto):
    """What came with a dispute: kept under its digest, without its place."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    dispute = models.ForeignKey(Dispute, on_delete=models.PROTECT, related_name="photos")
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]


class Decision(Written):
    """How a dispute ended. `before` and `after` are what was due on the line; `statement` the version it came to."""

    class Outcome(models.TextChoices):
        UPHELD = "upheld", gettext_lazy("Line stands")
        REDUCED = "reduced", gettext_lazy("Reduced")
        WAIVED = "waived", gettext_lazy("Waived")
        WITHDRAWN = "withdrawn", gettext_lazy("Withdrawn")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    dispute = models.OneToOneField(Dispute, on_delete=models.PROTECT, related_name="decision")
    outcome = models.CharField(max_length=9, choices=Outcome.choices)
    before = models.DecimalField(max_digits=12, decimal_places=3)
    after = models.DecimalField(max_digits=12, decimal_places=3)
    words = models.CharField(max_length=1000, help_text=gettext_lazy("The reason, as it is sent to the customer."))
    statement = models.ForeignKey(Statement, on_delete=models.PROTECT, null=True, related_name="decisions")
    waiver = models.OneToOneField(Waiver, on_delete=models.PROTECT, null=True, related_name="decision")
    second = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["at", "id"]
        constraints = [
            models.CheckConstraint(condition=Q(after__lte=models.F("before")), name="a_decision_never_costs_more"),
            models.CheckConstraint(condition=~Q(words=""), name="decided_with_a_reason"),
        ]


class Made(models.Model):
    """A file made as a task after what it tells of holds."""

    class State(models.TextChoices):
        WAITING = "waiting", gettext_lazy("being made")
        READY = "ready", "ready"
        FAILED = "failed", gettext_lazy("could not be made")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    state = models.CharField(max_length=8, choices=State.choices, default=State.WAITING)
    problem = models.CharField(max_length=300, blank=True)
    file = models.CharField(max_length=120, blank=True)
    size = models.PositiveIntegerField(default=0)
    sha256 = models.CharField(max_length=64, blank=True)
    ordered_at = models.DateTimeField()

    class Meta:
        abstract = True
        ordering = ["ordered_at", "id"]

    @property
    def is_ready(self) -> bool:
        return self.state == self.State.READY


class Letter(Made):
    """What the customer is told of a decision, in their language. `draft`: nobody has approved its translation."""

    decision = models.OneToOneField(Decision, on_delete=models.PROTECT, related_name="letter")
    language = models.CharField(max_length=8)
    draft = models.BooleanField(default=False)


class Delivery(models.Model):
    """One try to send a letter by e-mail, and what came of it."""

    class Outcome(models.TextChoices):
        SENT = "sent", gettext_lazy("sent")
        FAILED = "failed", gettext_lazy("not sent")
        NO_ADDRESS = "no_address", gettext_lazy("no address known")

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    letter = models.ForeignKey(Letter, on_delete=models.PROTECT, related_name="deliveries")
    outcome = models.CharField(max_length=10, choices=Outcome.choices)
    # A person's address: erased with the customer's other data.
    address = models.EmailField(blank=True)
    problem = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["at", "id"]


class Bundle(Made):
    """Everything of a dispute in one file for a card issuer. `left_out` names originals that the limit kept out."""

    dispute = models.ForeignKey(Dispute, on_delete=models.PROTECT, related_name="bundles")
    limit_bytes = models.PositiveIntegerField()
    manifest_sha256 = models.CharField(max_length=64, blank=True)
    left_out = models.JSONField(default=list)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
