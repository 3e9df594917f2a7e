"""What of a station a photo shows."""

from uuid import UUID

from django.utils.translation import gettext as _

from handover.acting import CannotBe
from handover.walkround.models import Mark, WalkRound
from handover.walkround.page.figures import spoken


def shows(walk: WalkRound, number: int, subject: str) -> tuple[UUID | None, str]:
    """What is seen, by its id and in words; nothing chosen is the station as a whole. Raises CannotBe."""
    station = walk.sheet.data.station(number)
    if station is None:
        raise CannotBe(_("There is no station %(number)s on this walk-round.") % {"number": number})
    if not subject:
        return None, station.name
    views = {str(ask.id): spoken(ask) for ask in station.instruments}
    views |= {str(ask.id): ask.name for ask in station.kits} | {str(ask.id): ask.text for ask in station.checks}
    views |= {str(ask.subject): ask.name for ask in station.views}
    views |= {str(mark.pk): f"Mark {mark.number}, {mark.place}" for mark in Mark.objects.filter(unit=walk.leg.unit)}
    if subject not in views:
        raise CannotBe(_("Say what the photo shows: one of the list."), "subject")
    return UUID(subject), views[subject]
