"""What Django checks before it runs: each address stands in the table of who comes in; the second factor is asked."""

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, register
from django.core.checks import Warning as Caution

from shared.access.gate import unlisted


@register(deploy=True)
def second_factor_is_required(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    if settings.SECOND_FACTOR == "required":
        return []
    return [
        Caution(
            "A password alone opens prices, people and evidence: LEVELPEG_SECOND_FACTOR is “offered”.",
            hint="Leave it out, or set it to “required”, where this is not a demo.",
            id="levelpeg.W010",
        )
    ]


@register()
def every_address_stands_in_the_table(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    """levelpeg.E010: nobody has said for whom an address is."""
    return [
        Error(
            f"/{address.route} ({address.name}) stands in no row of shared/access/matrix.py and opens for nobody.",
            hint="Say there which right it takes, and try it in tests/pages/test_permissions.py.",
            id="levelpeg.E010",
        )
        for address in unlisted()
    ]
