"""What the address of the manager's view carries from page to page."""

from collections.abc import Mapping
from urllib.parse import urlencode

from django import template

register = template.Library()


@register.filter
def as_query(said: Mapping[str, str]) -> str:
    """branch=inverlark&start=2026-06-01&end=2026-08-29"""
    return urlencode(said)
