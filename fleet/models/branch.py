"""Branches: where units are handed over, in which zone, currency, tax and units of measure."""

from zoneinfo import available_timezones

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shared.ids import uuid7
from shared.money import UnknownCurrency, exponent
from shared.phrasebook import said

WEEKDAYS = [
    gettext_lazy("Monday"),
    gettext_lazy("Tuesday"),
    gettext_lazy("Wednesday"),
    gettext_lazy("Thursday"),
    gettext_lazy("Friday"),
    gettext_lazy("Saturday"),
    gettext_lazy("Sunday"),
]


def validate_zone(name: str) -> None:
    if name not in available_timezones():
        raise ValidationError(
            _("%(name)s is not an IANA time zone. Write it as Europe/London or America/Halifax.") % {"name": name}
        )


def validate_currency(code: str) -> None:
    try:
        exponent(code)
    except UnknownCurrency as problem:
        raise ValidationError(said(str(problem))) from problem


def outside_scope_default() -> list[str]:
    return ["DAMAGE", "LOSS_OF_USE", "TOLL", "FINE"]


class Branch(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    code = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    operator = models.CharField(max_length=80, help_text=gettext_lazy("The name on records and statements."))
    prefix = models.CharField(
        max_length=4,
        unique=True,
        validators=[RegexValidator(r"^[A-Z]{2,4}$", gettext_lazy("Two to four capital letters."))],
    )
    zone = models.CharField(max_length=64, validators=[validate_zone])
    currency = models.CharField(max_length=3, validators=[validate_currency])
    locale = models.CharField(
        max_length=12, default="en_GB", help_text=gettext_lazy("For dates and money, such as en_GB or fr_CA.")
    )
    tax_mode = models.CharField(
        max_length=9, choices=[("inclusive", gettext_lazy("In the price")), ("exclusive", gettext_lazy("On top"))]
    )
    tax_name = models.CharField(max_length=12, default="VAT")
    tax_rate = models.DecimalField(
        max_digits=6, decimal_places=4, validators=[MinValueValidator(0), MaxValueValidator(1)],
        help_text=gettext_lazy("As a fraction: 0.2 is 20 %."),
    )  # fmt: skip
    tax_rounding = models.CharField(
        max_length=9,
        choices=[("per_line", gettext_lazy("On each line")), ("per_group", gettext_lazy("On the sum of a tax class"))],
    )
    tax_outside_scope = models.JSONField(
        default=outside_scope_default, help_text=gettext_lazy("Line codes without tax.")
    )
    unit_system = models.CharField(
        max_length=6,
        choices=[
            ("metric", gettext_lazy("Litres and kilometres")),
            ("uk", gettext_lazy("Litres and miles")),
            ("us", gettext_lazy("US gallons and miles")),
        ],
        default="metric",
    )
    country = models.CharField(
        max_length=2, default="GB", validators=[RegexValidator(r"^[A-Z]{2}$", gettext_lazy("Two capital letters."))],
        help_text=gettext_lazy("Whose law counts, in two letters (ISO 3166): GB, CA. The least tread goes by it."),
    )  # fmt: skip
    traffic_side = models.CharField(
        max_length=5, choices=[("left", gettext_lazy("Left")), ("right", gettext_lazy("Right"))], default="right"
    )
    idle_minutes = models.PositiveSmallIntegerField(
        default=5, validators=[MaxValueValidator(240)],
        help_text=gettext_lazy("After this many minutes without a touch a shared tablet asks who is there. 0: never."),
    )  # fmt: skip
    objection_days = models.PositiveSmallIntegerField(
        default=14, validators=[MinValueValidator(1), MaxValueValidator(365)],
        help_text=gettext_lazy("How long a customer who was not present can object to a statement."),
    )  # fmt: skip
    dispute_days = models.PositiveSmallIntegerField(
        default=14, validators=[MinValueValidator(1), MaxValueValidator(365)],
        help_text=gettext_lazy("Within how many days a dispute is answered, from the day it is opened."),
    )  # fmt: skip

    class Meta:
        verbose_name_plural = "branches"
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def distance_unit(self) -> str:
        return "km" if self.unit_system == "metric" else "mi"


class OpeningHours(models.Model):
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="opening_hours")
    weekday = models.PositiveSmallIntegerField(choices=list(enumerate(WEEKDAYS)))
    opens = models.TimeField()
    closes = models.TimeField()

    class Meta:
        verbose_name_plural = gettext_lazy("opening hours")
        ordering = ["weekday", "opens"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "weekday"], name="one_opening_a_weekday"),
            models.CheckConstraint(condition=models.Q(opens__lt=models.F("closes")), name="opens_before_it_closes"),
        ]

    def __str__(self) -> str:
        return _("%(weekday)s %(opens)s to %(closes)s") % {
            "weekday": WEEKDAYS[self.weekday],
            "opens": format(self.opens, "%H:%M"),
            "closes": format(self.closes, "%H:%M"),
        }


class ClosedDate(models.Model):
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="closed_dates")
    day = models.DateField()
    reason = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["branch", "day"], name="closed_once_a_day")]

    def __str__(self) -> str:
        return f"{self.day} {self.reason}".strip()


class Posting(models.Model):
    """A person works at a branch. What belongs to other branches does not exist for them."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="postings")
    branch = models.ForeignKey(Branch, on_delete=models.CASCADE, related_name="postings")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["person", "branch"], name="posted_once_to_a_branch")]

    def __str__(self) -> str:
        return _("%(person)s at %(branch)s") % {"person": self.person, "branch": self.branch}
