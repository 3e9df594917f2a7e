from django.urls import path

from handover.tyre import views

urlpatterns = [path("fleet/units/<str:number>/tyres/", views.tyres, name="tyres")]
