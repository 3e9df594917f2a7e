"""The product on a machine whose clock is wrong: so many seconds ahead as CLOCK_AHEAD_S says; behind, if negative.

Everything in the product asks Django for the time; the database's own clock is asked nowhere.
"""

import os
from datetime import timedelta

from django.utils import timezone

AHEAD = timedelta(seconds=float(os.environ.get("CLOCK_AHEAD_S", "0")))
_right = timezone.now
timezone.now = lambda: _right() + AHEAD

from shared.wsgi import application  # noqa: E402

__all__ = ["application"]
