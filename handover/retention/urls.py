from django.urls import path

from handover.retention import views

urlpatterns = [
    path("branch/<slug:code>/retention/", views.retention, name="retention"),
    path("branch/<slug:code>/retention/terms/", views.set_days, name="retention-terms"),
    path("rental/<uuid:pk>/legal-hold/", views.hold, name="place-hold"),
    path("legal-hold/<uuid:pk>/lift/", views.lift, name="lift-hold"),
    path("customer/<uuid:pk>/data/", views.person, name="person-data"),
    path("customer/<uuid:pk>/data/copy.json", views.person_json, name="person-json"),
    path("customer/<uuid:pk>/erase/", views.erase, name="erase-person"),
]
