from django.urls import path

from shared.running import views

urlpatterns = [
    path("health/live", views.live, name="health-live"),
    path("health/ready", views.is_ready, name="health-ready"),
]
