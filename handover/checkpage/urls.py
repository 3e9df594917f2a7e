from django.urls import path

from handover.checkpage import views

urlpatterns = [
    path("check/", views.check, name="check"),
    path("check/ca.pem", views.root, name="check-root"),
    path("check/<str:number>/<str:code>/", views.lookup, name="record-lookup"),
]
