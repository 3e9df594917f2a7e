from django.urls import path

from handover.running import views

urlpatterns = [path("metrics", views.metrics, name="metrics")]
