"""Photos and what their times are worth, entries made late, links by which customers' data can be seen."""

from datetime import timedelta
from typing import Any

from django.db.models import Count, DurationField, ExpressionWrapper, F, Max, Q, QuerySet
from django.db.models.functions import Abs
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from handover.customer.models import CustomerLink
from handover.insight.asking import Asked
from handover.insight.facts import minutes, person
from handover.insight.table import Column, Row, Table
from handover.photo.models import Photo
from handover.rental.models import Rental
from shared.ledger.models import Entry

APART = timedelta(minutes=10)
DRIFT_MS = 5 * 60 * 1000
LATE = timedelta(hours=1)


def photo_times(asked: Asked) -> Table:
    """Photos without a camera's time, or whose camera or tablet went by another clock."""
    photos: QuerySet[Any] = Photo.objects.filter(asked.due_back("walk__leg__rental__"))
    whole = photos.count()
    apart = Q(taken_at__gt=F("at") + APART) | Q(taken_at__lt=F("at") - APART)
    odd = photos.annotate(who=person("by"), drift=Abs("skew_ms")).filter(
        Q(taken_at=None) | apart | Q(drift__gt=DRIFT_MS)
    )
    fields = ("walk__leg__rental", "walk__leg__rental__number", "walk__leg__rental__branch", "station_number",
              "kept_sha256", "taken_at", "at", "skew_ms", "who")  # fmt: skip
    return Table(
        title=_("Photos by whose time"),
        definition=_(
            "Every photo is kept under the SHA-256 of its bytes, as sent and as kept. Here stand those without a time "
            "of the camera, with more than 10 minutes between camera and tablet, or from a tablet whose clock was more "
            "than 5 minutes off the server’s."
        ),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("station", _("Station")),
            Column("sha256", _("SHA-256, as kept"), figures=False),
            Column("taken_at", _("Time by the camera"), figures=False),
            Column("at", _("Time by the tablet, corrected"), figures=False),
            Column("skew_s", _("Tablet’s clock ahead, seconds")), Column("by", _("Taken by"), figures=False),
        ),
        rows=tuple(_photo(asked, row) for row in odd.order_by("at", "id").values(*fields)),
        rests_on=whole,
        rests_words=ngettext("%(count)s photo", "%(count)s photos", whole) % {"count": whole},
        unknown=(
            _("Whether each file still has its digest is not read here: manage.py verify_files says it of all photos."),
        ),
    )  # fmt: skip


def _photo(asked: Asked, row: dict[str, Any]) -> Row:
    branch = row["walk__leg__rental__branch"]
    camera = asked.local(row["taken_at"], branch) if row["taken_at"] else None
    skew = None if row["skew_ms"] is None else round(row["skew_ms"] / 1000)
    return Row(
        (row["walk__leg__rental__number"], row["station_number"], row["kept_sha256"], camera,
         asked.local(row["at"], branch), skew, row["who"]),
        rental=row["walk__leg__rental"],
    )  # fmt: skip


def entered_late(asked: Asked) -> Table:
    """By rental and person: entries of the ledger that arrived more than an hour after what they tell of."""
    chains = asked.rentals.values("pk")
    entries: QuerySet[Any] = Entry.objects.filter(chain__in=chains)
    whole = entries.count()
    late = entries.annotate(
        after=ExpressionWrapper(F("recorded_at") - F("happened_at"), output_field=DurationField()), who=person("actor")
    ).filter(recorded_at__gt=F("happened_at") + LATE)
    rows = late.order_by().values("chain", "who").annotate(many=Count("pk"), most=Max("after")).order_by("-most")
    found = list(rows)
    numbers = dict(Rental.objects.filter(pk__in={row["chain"] for row in found}).values_list("pk", "number"))
    return Table(
        title=_("Entered later"),
        definition=_("What was entered more than an hour after it happened: offline, from memory or from a sheet."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("by", _("Entered by"), figures=False),
            Column("entries", _("Entries")), Column("longest_min", _("Longest delay, minutes")),
        ),
        rows=tuple(
            Row((numbers[row["chain"]], row["who"] or _("the customer, or the program"), row["many"],
                 minutes(row["most"])), rental=row["chain"])
            for row in found
        ),
        rests_on=whole,
        rests_words=ngettext("%(count)s entry of the Ledger", "%(count)s entries of the Ledger", whole)
        % {"count": whole},
        unknown=(_("Entries from a sheet of paper and from a tablet without a network are counted together here."),),
    )  # fmt: skip


def links_made(asked: Asked) -> Table:
    """Through which links a customer's data could be seen, until when, and whether they were opened."""
    rows = CustomerLink.objects.filter(asked.due_back("rental__")).select_related("rental", "made_by", "opening")
    found = list(rows.order_by("made_at", "id"))
    return Table(
        title=_("Links to customers’ data"),
        definition=_("Each link to a customer’s page: who made it, until when it is open, how often it was opened."),
        columns=(
            Column("rental", _("Rental"), figures=False), Column("made_at", _("Made"), figures=False),
            Column("made_by", _("Made by"), figures=False), Column("expires_at", _("Open until"), figures=False),
            Column("revoked_at", _("Taken back"), figures=False), Column("opened", _("Times opened")),
        ),
        rows=tuple(_link(asked, row) for row in found),
        rests_on=len(found),
        rests_words=ngettext("%(count)s link", "%(count)s links", len(found)) % {"count": len(found)},
        unknown=(
            _("Which page a person who is signed in looked at is kept nowhere. A driver’s licence is seen and not "
              "copied: there is no copy to have access to."),
        ),
    )  # fmt: skip


def _link(asked: Asked, row: CustomerLink) -> Row:
    branch, opening = row.rental.branch_id, getattr(row, "opening", None)
    back = asked.local(row.revoked_at, branch) if row.revoked_at else _("no")
    return Row(
        (row.rental.number, asked.local(row.made_at, branch), str(row.made_by), asked.local(row.expires_at, branch),
        back,
         opening.count if opening else 0),
        rental=row.rental_id,
    )  # fmt: skip
