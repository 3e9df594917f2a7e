"""What the return found besides levels, counts and marks."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from fleet.models import Equipment
from handover.counter.models.act import CounterRow
from handover.photo.models import Photo


class Soiling(CounterRow):
    """How one zone came back; the latest of a zone counts. Without a photo it stands here and charges nothing."""

    class Zone(models.TextChoices):
        INTERIOR = "interior", _("Interior")
        EXTERIOR = "exterior", _("Exterior")
        UPHOLSTERY = "upholstery", _("Upholstery")
        ODOUR = "odour", _("Odour")

    class Tier(models.TextChoices):
        NONE = "none", _("Clean")
        STANDARD = "standard", _("Standard")
        HEAVY = "heavy", _("Heavy")
        SPECIALIST = "specialist", _("Specialist")

    class Cause(models.TextChoices):
        DIRT = "", _("Dirt of the road")
        SMOKE = "smoke", _("Smoke")
        PETS = "pets", _("Pets")
        VOMIT = "vomit", _("Vomit")
        MOULD = "mould", _("Mould")
        POWDER = "powder", _("Extinguisher powder")

    zone = models.CharField(max_length=10, choices=Zone.choices)
    tier = models.CharField(max_length=10, choices=Tier.choices)
    cause = models.CharField(max_length=8, choices=Cause.choices, blank=True)
    photos = models.ManyToManyField(Photo, related_name="+")


class TankFinding(CounterRow):
    """Rubbish, the cassette and the fresh water, looked at together; the latest counts."""

    rubbish_bags = models.PositiveSmallIntegerField(default=0)
    toilet_rinsed = models.BooleanField(default=True)
    foul_water = models.CharField(max_length=80, blank=True, help_text=_("What is in the fresh water, such as diesel."))
    foul_water_repair = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    photos = models.ManyToManyField(Photo, related_name="+")

    class Meta(CounterRow.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(foul_water_repair__isnull=True) | ~Q(foul_water=""), name="a_repair_of_foul_water"
            )
        ]


class KitUse(CounterRow):
    """Why a safety kit was opened: with a report of an injury or a fire it is free. `words` name the report."""

    class Report(models.TextChoices):
        NONE = "none", _("No report")
        INJURY = "injury", _("Injury report")
        FIRE = "fire", _("Fire report")

    kit = models.SlugField()
    report = models.CharField(max_length=6, choices=Report.choices)


class ItemFinding(CounterRow):
    """A thing that came back broken, or turned up later; the latest of a thing counts."""

    class State(models.TextChoices):
        AS_COUNTED = "as_counted", _("As it was counted")
        BROKEN = "broken", _("Came back broken")
        CAME_BACK = "came_back", _("Turned up later")

    item = models.ForeignKey(Equipment, on_delete=models.PROTECT, related_name="item_findings")
    state = models.CharField(max_length=10, choices=State.choices)
    quantity = models.PositiveSmallIntegerField(default=1)
    repair = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    came_back_on = models.DateField(null=True)
    photos = models.ManyToManyField(Photo, related_name="+")

    class Meta(CounterRow.Meta):
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="came_back") | Q(came_back_on__isnull=False), name="came_back_on_a_day"
            )
        ]
