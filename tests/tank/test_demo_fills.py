"""The demo's receipts: one curve to put to use, one tank that is doubted, and a second run that adds nothing."""

from django.utils import timezone

from consumables.models import Fill
from fleet.demo.loading import load_fleet
from fleet.models import Unit
from handover.demo.fills import FILLS, load_fills
from handover.tank.page import doubts_of
from handover.tank.queries import Tank, tanks_of


def diesel_of(number: str) -> Tank:
    return tanks_of(Unit.objects.filter(number=number), today=timezone.localdate())[0]


def test_the_demo_tells_of_its_tanks(db: None) -> None:
    fleet = load_fleet(today=timezone.localdate())
    for _ in range(2):
        load_fills(fleet, now=timezone.now())
    assert Fill.objects.count() == sum(row.fills for row in FILLS)
    assert diesel_of("407").is_new
    assert [doubt.kind for doubt in diesel_of("407").learned.doubts] == ["off"]
    assert not diesel_of("118").learned.used
    assert any("3 of 14 receipts do not agree" in doubt for doubt in doubts_of(diesel_of("212")))
