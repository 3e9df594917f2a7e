from datetime import date

from django.urls import path, register_converter

from handover.board import views


class IsoDay:
    """A calendar day in an address, 2026-08-18. What is no day is no address."""

    regex = r"(?:19|20|21)[0-9]{2}-[0-9]{2}-[0-9]{2}"

    def to_python(self, value: str) -> date:
        return date.fromisoformat(value)

    def to_url(self, value: date) -> str:
        return value.isoformat()


register_converter(IsoDay, "day")

urlpatterns = [
    path("", views.home, name="home"),
    path("branch/<slug:code>/desk/", views.desk, name="desk"),
    path("branch/<slug:code>/<day:day>/", views.day_board, name="day-board"),
]
