from django.contrib import admin
from django.urls import path

urlpatterns = [
    path("setting-up/", admin.site.urls),
]
