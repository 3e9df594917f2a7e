from django.urls import path

from handover.settlement import views

urlpatterns = [
    path("rental/<uuid:pk>/settlement/", views.settlement, name="settlement"),
    path("rental/<uuid:pk>/settlement/hold/", views.hold, name="settlement-hold"),
    path("rental/<uuid:pk>/settlement/pay/", views.pay, name="settlement-pay"),
    path("rental/<uuid:pk>/settlement/refund/", views.refund, name="settlement-refund"),
    path("deposit/<uuid:pk>/capture/", views.capture, name="capture-hold"),
    path("deposit/<uuid:pk>/release/", views.release, name="release-deposit"),
    path("branch/<slug:code>/settlements/", views.settlements, name="settlements"),
    path("branch/<slug:code>/settlements/export/", views.export, name="settlements-export"),
]
