"""Words that people typed, as long as there is room for them."""

from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from handover.acting import CannotBe

LONGEST = 4000  # where the column itself sets no limit


class Written(models.Model):
    """A row with words in it. SQLite keeps any text in any column, so what cannot be is said before a row is saved."""

    class Meta:
        abstract = True

    def save(self, **kwargs: Any) -> None:
        """Raises CannotBe at the field whose text cannot be kept."""
        self.check_written()
        super().save(**kwargs)

    def check_written(self) -> None:
        """As save() does, without it."""
        for field in self._meta.concrete_fields:
            if isinstance(field, models.CharField | models.TextField):
                check_words(getattr(self, field.attname), field.name, most=field.max_length or LONGEST)


def check_words(text: str | None, field: str, *, most: int) -> None:
    """Raises CannotBe for more letters than there is room for, and for a zero byte, which no database keeps."""
    if text and "\0" in text:
        raise CannotBe(_("A zero byte is in this text and cannot be kept. Pasting may have added it: type it."), field)
    if text and len(text) > most:
        raise CannotBe(
            _("There is room for %(most)s letters here; these are %(count)s. Say it shorter.")
            % {"most": most, "count": len(text)},
            field,
        )
