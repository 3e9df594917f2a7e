from django.urls import path

from shared.access import views, views_here

urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign-in"),
    path("sign-out/", views.SignOut.as_view(), name="sign-out"),
    path("me/", views.me, name="me"),
    path("me/pin/", views_here.keep_pin, name="keep-pin"),
    path("people-here/", views_here.people_here, name="people-here"),
    path("people-here/lock/", views_here.lock_tablet, name="lock-tablet"),
    path("people-here/<uuid:person_id>/", views_here.take_over, name="take-over"),
]
