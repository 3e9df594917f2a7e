"""What answers where a request cannot be read or a page breaks. Nothing of the request is looked at again.

Django's own views would: they check the form's token, and with it read the body that could not be read.
"""

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    return HttpResponse(render_to_string("400.html"), status=400)


def broken(request: HttpRequest) -> HttpResponse:
    return HttpResponse(render_to_string("500.html"), status=500)
