from django.urls import path

from handover.record import views

urlpatterns = [
    path("record/<uuid:pk>/", views.record, name="record"),
    path("record/<uuid:pk>/check/", views.check, name="record-check"),
    path("record/<uuid:pk>/make-again/", views.make_again, name="make-record-again"),
    path("record/<uuid:pk>/record.pdf", views.pdf, name="record-pdf"),
]
