from django.urls import path, re_path

from handover.insight import views

urlpatterns = [
    path("figures/", views.insight, name="insight"),
    path("figures/audit/", views.audit, name="insight-audit"),
    path("figures/audit/<int:number>/", views.answer, name="insight-answer"),
    path("figures/rentals/<slug:key>/", views.rentals, name="insight-rentals"),
    re_path(r"^figures/table/(?P<key>[-a-z]+)\.(?P<form>csv|xlsx|json)$", views.export, name="insight-export"),
    path("figures/<slug:key>/", views.chapter, name="insight-chapter"),
]
