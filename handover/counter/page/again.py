"""Reading again: the fuel gauges with what they came back with."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from handover.counter.fetching import Place, place_of, read_off, return_of
from handover.rental.models import Rental
from handover.walkround.sheet import InstrumentAsk
from shared.access.models import Person
from shared.access.roles import Right


@dataclass(frozen=True, slots=True)
class AgainPage:
    """`gauges` pairs each fuel gauge with its last reading in words."""

    place: Place
    gauges: Sequence[tuple[InstrumentAsk, str]]
    may_read: bool

    @property
    def rental(self) -> Rental:
        return self.place.rental


def again_page(rental: Rental, person: Person) -> AgainPage:
    walk = return_of(rental)
    asks = [ask for _, ask in walk.sheet.data.instruments() if ask.measures == "fuel"] if walk else []
    last = {row.item_id: row.value for row in walk.readings.all()} if walk else {}
    unit = rental.branch.distance_unit
    return AgainPage(
        place=place_of(rental),
        gauges=[(ask, read_off(ask, last.get(ask.id), unit) or _("not read")) for ask in asks],
        may_read=rental.state == Rental.State.BACK and person.may(Right.SETTLE),
    )
