from django.urls import path

from shared.access import views, views_here, views_people
from shared.access.second_factor import views as second

urlpatterns = [
    path("sign-in/", views.SignIn.as_view(), name="sign-in"),
    path("sign-in/second-factor/", second.ask, name="ask-second-factor"),
    path("sign-in/password/", second.prove_password, name="prove-password"),
    path("sign-out/", views.SignOut.as_view(), name="sign-out"),
    path("me/", views.me, name="me"),
    path("me/password/", views.change_password, name="change-password"),
    path("me/pin/", views_here.keep_pin, name="keep-pin"),
    path("me/second-factor/", second.second_factor, name="second-factor"),
    path("me/second-factor/app/", second.add_app, name="add-app"),
    path("me/second-factor/passkey/", second.add_passkey, name="add-passkey"),
    path("me/second-factor/<int:pk>/remove/", second.remove_factor, name="remove-factor"),
    path("me/second-factor/recovery-codes/", second.recovery_codes, name="recovery-codes"),
    path("me/second-factor/recovery-codes/codes.txt", second.recovery_codes_file, name="recovery-codes-file"),
    path("me/second-factor/recovery-codes/new/", second.new_recovery_codes, name="new-recovery-codes"),
    path("me/sessions/<uuid:pk>/end/", views_people.end_session, name="end-session"),
    path("me/sessions/others/end/", views_people.end_other_sessions, name="end-other-sessions"),
    path("people-here/", views_here.people_here, name="people-here"),
    path("people-here/lock/", views_here.lock_tablet, name="lock-tablet"),
    path("people-here/<uuid:person_id>/", views_here.take_over, name="take-over"),
    path("people/<uuid:pk>/second-factor/", views_people.reset_second_factor, name="reset-second-factor"),
    path("tablets/", views_people.tablets, name="tablets"),
    path("tablets/<uuid:pk>/lost/", views_people.tablet_lost, name="tablet-lost"),
]
