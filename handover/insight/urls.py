from django.urls import path, re_path

from handover.insight import views

urlpatterns = [
    path("insight/", views.insight, name="insight"),
    path("insight/audit/", views.audit, name="insight-audit"),
    path("insight/audit/<int:number>/", views.answer, name="insight-answer"),
    path("insight/rentals/<slug:key>/", views.rentals, name="insight-rentals"),
    re_path(r"^insight/table/(?P<key>[-a-z]+)\.(?P<form>csv|json)$", views.export, name="insight-export"),
    path("insight/<slug:key>/", views.chapter, name="insight-chapter"),
]
