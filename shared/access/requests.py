"""The request of a person who has signed in."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from shared.access.models import Person


class PersonRequest(HttpRequest):
    """LoginRequiredMiddleware lets no other reach a view that is not marked public."""

    user: Person
    htmx: HtmxDetails
