from django.urls import path

from handover.tank import views

urlpatterns = [
    path("branch/<slug:code>/tanks/", views.tanks, name="tanks"),
    path("fleet/units/<str:number>/tank/", views.tank, name="tank"),
    path("fleet/units/<str:number>/tank/<slug:code>/", views.tank, name="tank-of"),
    path("fleet/units/<str:number>/tank/<slug:code>/fill/", views.fill, name="record-fill"),
    path("fleet/units/<str:number>/tank/<slug:code>/use/", views.use, name="use-curve"),
    path("fleet/units/<str:number>/tank/<slug:code>/straight/", views.straight, name="use-straight-line"),
    path("fills/<uuid:pk>/receipt/", views.receipt, name="fill-receipt"),
]
