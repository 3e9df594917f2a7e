from django.urls import path

from handover.statement import views

urlpatterns = [
    path("rental/<uuid:pk>/statement/", views.statement, name="statement"),
    path("rental/<uuid:pk>/statement/<int:version>/", views.statement_version, name="statement-version"),
    path("rental/<uuid:pk>/statement/draw-up/", views.draw_up_statement, name="draw-up-statement"),
    path("statement/<uuid:pk>/sign/", views.sign, name="sign-statement"),
    path("statement/<uuid:pk>/unsigned/", views.unsigned, name="unsigned-statement"),
    path("statement/<uuid:pk>/settle/", views.settle_statement, name="settle-statement"),
]
