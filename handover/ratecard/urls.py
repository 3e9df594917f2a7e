from django.urls import path

from handover.ratecard import views

urlpatterns = [
    path("branch/<slug:code>/rate-cards/", views.rate_cards, name="rate-cards"),
    path("branch/<slug:code>/rate-cards/begin/", views.begin, name="begin-rate-card"),
    path("branch/<slug:code>/rate-cards/import/", views.import_card, name="import-rate-card"),
    path("rate-card/<uuid:pk>/", views.rate_card, name="rate-card"),
    path("rate-card/<uuid:pk>/preview/", views.preview_card, name="rate-card-preview"),
    path("rate-card/<uuid:pk>/publish/", views.publish_card, name="publish-rate-card"),
    path("rate-card/<uuid:pk>/delete/", views.delete_card, name="delete-rate-card"),
    path("rate-card/<uuid:pk>/rate-card.csv", views.card_csv, name="rate-card-csv"),
]
