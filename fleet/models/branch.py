"""Branches: where units are handed over, in which zone, currency, tax and units of measure."""

from zoneinfo import available_timezones

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models

from shared.ids import uuid7
from shared.money import UnknownCurrency, exponent

WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]


def validate_zone(name: str) -> None:
    if name not in available_timezones():
        raise ValidationError(f"{name} is not an IANA time zone. Write it as Europe/London or America/Halifax.")


def validate_currency(code: str) -> None:
    try:
        exponent(code)
    except UnknownCurrency as problem:
        raise ValidationError(str(problem)) from problem


def outside_scope_default() -> list[str]:
    return ["DAMAGE", "LOSS_OF_USE", "TOLL", "FINE"]


class Branch(models.Model):
    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    code = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    operator = models.CharField(max_length=80, help_text="The name on records and statements.")
    prefix = models.CharField(
        max_length=4, unique=True, validators=[RegexValidator(r"^[A-Z]{2,4}$", "Two to four capital letters.")]
    )
    zone = models.CharField(max_length=64, validators=[validate_zone])
    currency = models.CharField(max_length=3, validators=[validate_currency])
    locale = models.CharField(max_length=12, default="en_GB", help_text="For dates and money, such as en_GB or fr_CA.")
    tax_mode = models.CharField(max_length=9, choices=[("inclusive", "In the price"), ("exclusive", "On top")])
    tax_name = models.CharField(max_length=12, default="VAT")
    tax_rate = models.DecimalField(
        max_digits=6, decimal_places=4, validators=[MinValueValidator(0), MaxValueValidator(1)],
        help_text="As a fraction: 0.2 is 20 %.",
    )  # fmt: skip
    tax_rounding = models.CharField(
        max_length=9, choices=[("per_line", "On each line"), ("per_group", "On the sum of a tax class")]
    )
    tax_outside_scope = models.JSONField(default=outside_scope_default, help_text="Line codes without tax.")
    unit_system = models.CharField(
        max_length=6,
        choices=[("metric", "Litres and kilometres"), ("uk", "Litres and miles"), ("us", "US gallons and miles")],
        default="metric",
    )
    traffic_side = models.CharField(max_length=5, choices=[("left", "Left"), ("right", "Right")], default="right")

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
        verbose_name_plural = "opening hours"
        ordering = ["weekday", "opens"]
        constraints = [
            models.UniqueConstraint(fields=["branch", "weekday"], name="one_opening_a_weekday"),
            models.CheckConstraint(condition=models.Q(opens__lt=models.F("closes")), name="opens_before_it_closes"),
        ]

    def __str__(self) -> str:
        return f"{WEEKDAYS[self.weekday]} {self.opens:%H:%M} to {self.closes:%H:%M}"


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
        return f"{self.person} at {self.branch}"
