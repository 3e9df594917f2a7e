from collections.abc import Callable

from django.http import HttpRequest, HttpResponse


class PermissionsPolicyMiddleware:
    """Only the camera, and only for this site: photos in the yard need it, nothing else does."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers["Permissions-Policy"] = "camera=(self), geolocation=(), microphone=(), payment=(), usb=()"
        return response
