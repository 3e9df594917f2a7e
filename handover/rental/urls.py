from django.urls import path

from handover.rental import views

urlpatterns = [
    path("branch/<slug:code>/new-booking/", views.new_booking, name="new-booking"),
    path("rental/<uuid:pk>/", views.rental, name="rental"),
    path("rental/<uuid:pk>/begin-pickup/", views.begin_pickup, name="begin-pickup"),
    path("rental/<uuid:pk>/extra/", views.sell, name="sell-extra"),
    path("rental/<uuid:pk>/begin-return/", views.begin_return, name="begin-return"),
]
