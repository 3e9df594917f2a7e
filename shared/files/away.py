"""The store of photos and records does not answer, or takes nothing. It passes: nothing is lost meanwhile."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

SENTENCE = gettext_noop(
    "The store of photos and records can neither be read nor written now. What was kept before is kept; this was not. "
    "Try again in a minute, and tell an administrator if it stays so."
)


class StoreAway(OSError):
    """What was to be kept is not kept and can be sent again."""

    @property
    def sentence(self) -> str:
        """For whoever waits, in their language; SENTENCE is what a row keeps."""
        return _(SENTENCE)
