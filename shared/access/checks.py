"""What Django checks before it runs: that a production asks for the second factor."""

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, register
from django.core.checks import Warning as Caution


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
