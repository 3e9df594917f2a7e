from django.urls import include, path

urlpatterns = [
    path("", include("handover.board.urls")),
    path("", include("handover.rental.urls")),
    path("", include("handover.walkround.urls")),
    path("", include("handover.briefing.urls")),
    path("", include("handover.photo.urls")),
    path("", include("handover.statement.urls")),
    path("", include("handover.counter.urls")),
    path("", include("handover.damage.urls")),
    path("", include("handover.trip.urls")),
    path("", include("handover.cabcard.urls")),
    path("", include("handover.settlement.urls")),
    path("", include("handover.record.urls")),
    path("", include("handover.tablet.urls")),
    path("", include("handover.ratecard.urls")),
    path("", include("handover.tank.urls")),
    path("", include("handover.turnaround.urls")),
    path("", include("handover.tyre.urls")),
]
