from django.urls import path

from handover.tablet.views import changing, door, held, keeping, sending, shell

urlpatterns = [
    path("sw.js", shell.service_worker, name="service-worker"),
    path("manifest.webmanifest", shell.manifest, name="manifest"),
    path("shell/", shell.shell, name="shell"),
    path("tablet/hello/", door.hello, name="tablet-hello"),
    path("tablet/sign-in/", door.sign_in, name="tablet-sign-in"),
    path("tablet/people/", changing.people, name="tablet-people"),
    path("tablet/change/", changing.change, name="tablet-change"),
    path("tablet/lock/", changing.lock_here, name="tablet-lock"),
    path("tablet/day/", keeping.day, name="tablet-day"),
    path("tablet/walk/<uuid:walk_id>/", keeping.walk, name="tablet-walk"),
    path("tablet/walk/<uuid:leg_id>/<slug:kind>/", keeping.walk_of_leg, name="tablet-walk-of-leg"),
    path("tablet/entries/", sending.entries, name="tablet-entries"),
    path("tablet/uploads/<uuid:key>/", sending.upload, name="tablet-upload"),
    path("tablet/held/", held.held, name="held-entries"),
    path("tablet/held/try/", held.try_held_again, name="try-held-again"),
    path("tablet/held/aside/", held.set_held_aside, name="set-held-aside"),
]
