from django.urls import path

from handover.damage import views

urlpatterns = [
    path("rental/<uuid:pk>/damages/", views.damages, name="damages"),
    path("rental/<uuid:pk>/damages/group/", views.group, name="group-damages"),
    path("rental/<uuid:pk>/damages/price/", views.price_one, name="price-repair"),
    path("rental/<uuid:pk>/damages/moved/", views.moved, name="decide-moved"),
]
