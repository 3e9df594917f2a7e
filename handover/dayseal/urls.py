from django.urls import path

from handover.dayseal import views

urlpatterns = [
    path("day-seals/", views.day_seals, name="day-seals"),
    path("day-seal/<int:number>/", views.day_seal, name="day-seal"),
    path("day-seal/<int:number>/check/", views.check, name="day-seal-check"),
    path("day-seal/<int:number>/sheet/", views.sheet, name="day-seal-sheet"),
    path("day-seal/<int:number>/day-seal.<slug:kind>", views.file, name="day-seal-file"),
    path("rental/<uuid:pk>/ledger.json", views.extract, name="ledger-extract"),
]
