from django.urls import path

from handover.trip import views

urlpatterns = [
    path("rental/<uuid:pk>/trip/", views.trip, name="trip"),
    path("rental/<uuid:pk>/trip/extension/", views.extension, name="trip-extension"),
    path("rental/<uuid:pk>/trip/swap/", views.swap, name="trip-swap"),
    path("rental/<uuid:pk>/trip/other-unit/", views.other_unit, name="trip-other-unit"),
    path("rental/<uuid:pk>/trip/fault/", views.fault, name="trip-fault"),
    path("rental/<uuid:pk>/trip/roadside/", views.roadside, name="trip-roadside"),
    path("rental/<uuid:pk>/trip/receipt/", views.receipt, name="trip-receipt"),
    path("rental/<uuid:pk>/trip/wait/", views.wait, name="trip-wait"),
    path("rental/<uuid:pk>/trip/lateness-stops/", views.stop, name="trip-stop"),
    path("rental/<uuid:pk>/trip/displaced/", views.displaced, name="trip-displaced"),
    path("rental/<uuid:pk>/trip/excess/", views.excess, name="trip-excess"),
    path("rental/<uuid:pk>/trip/notice/", views.rental_notice, name="trip-notice"),
    path("branch/<slug:code>/notice/", views.notice, name="notice"),
    path("extension/<uuid:pk>/confirm/", views.confirm, name="confirm-extension"),
    path("notice/<uuid:pk>/told/", views.told, name="notice-told"),
    path("trip-photo/<uuid:pk>/", views.photo, name="trip-photo"),
    path("trip-photo/<uuid:pk>/thumb/", views.photo_thumb, name="trip-photo-thumb"),
]
