from django.urls import path

from handover.cabcard import views

urlpatterns = [
    path("rental/<uuid:pk>/cab-card/", views.card, name="cab-card"),
    path("rental/<uuid:pk>/cab-card/print/", views.paper, name="cab-card-pdf"),
    path("rental/<uuid:pk>/cab-card/plan/", views.plan, name="cab-card-plan"),
    path("rental/<uuid:pk>/cab-card/party/", views.party, name="cab-card-party"),
    path("rental/<uuid:pk>/cab-card/nights/", views.nights, name="cab-card-nights"),
]
