from django.urls import URLPattern, path, re_path

from handover.api.entrance import entrance, nothing_here
from handover.api.main import api
from handover.api.pages import views


def operations() -> list[URLPattern]:
    """The paths of the API under names of this site's, each once, behind its entrance."""
    found: dict[str, URLPattern] = {}
    for router in api._get_bound_routers():
        for pattern in router.urls_paths(router.prefix):
            found.setdefault(str(pattern.pattern), pattern)
    return [path(f"api/v1/{route}", entrance(pattern.callback), name=pattern.name) for route, pattern in found.items()]


urlpatterns = [
    path("api/", views.reference, name="api-reference"),
    path("api/v1/openapi.json", views.openapi_json, name="api-openapi"),
    *operations(),
    re_path(r"^api/v1/(?P<path>[\s\S]*)\Z", nothing_here),
    path("branch/<slug:code>/api-access/", views.access, name="api-access"),
    path("branch/<slug:code>/api-access/make/", views.make, name="api-make-token"),
    path("branch/<slug:code>/api-access/<uuid:pk>/revoke/", views.revoke, name="api-revoke-token"),
    path("branch/<slug:code>/webhook/<uuid:pk>/stop/", views.stop, name="api-stop-webhook"),
    path("branch/<slug:code>/webhook-deliveries/", views.deliveries, name="api-deliveries"),
    path("branch/<slug:code>/webhook-deliveries/again/", views.send_all_again, name="api-send-all-again"),
    path("branch/<slug:code>/webhook-deliveries/<uuid:pk>/again/", views.send_again, name="api-send-again"),
]
