from django.contrib import admin
from django.urls import include, path

urlpatterns = [
    path("setting-up/", admin.site.urls),
    path("", include("shared.access.urls")),
    path("", include("shared.running.urls")),
    path("", include("handover.urls")),
]

handler400 = "shared.trouble.not_understood"
handler500 = "shared.trouble.broken"
