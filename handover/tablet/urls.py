from django.urls import path

from handover.tablet.views import door, shell

urlpatterns = [
    path("sw.js", shell.service_worker, name="service-worker"),
    path("manifest.webmanifest", shell.manifest, name="manifest"),
    path("shell/", shell.shell, name="shell"),
    path("tablet/hello/", door.hello, name="tablet-hello"),
    path("tablet/sign-in/", door.sign_in, name="tablet-sign-in"),
]
