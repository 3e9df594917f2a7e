"""A Topic in another language than English. It is a draft until a named person has read both and approves it."""

from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from fleet.languages import TRANSLATED
from fleet.models.layout import Topic
from shared.canonical import digest
from shared.ids import uuid7


class TopicText(models.Model):
    """Approved only while both texts are, letter by letter, those that were read: a change of either makes it a draft.

    `english_sha256` is of the English it translates, `approved_sha256` of both texts as the approver read them.
    """

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)
    topic = models.ForeignKey(Topic, on_delete=models.CASCADE, related_name="texts")
    language = models.CharField(max_length=8, choices=[(language.code, language.name) for language in TRANSLATED])
    title = models.CharField(max_length=80)
    text = models.TextField()
    english_sha256 = models.CharField(max_length=64, editable=False)
    approved_sha256 = models.CharField(max_length=64, blank=True, editable=False)
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    approved_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["topic", "language"]
        constraints = [
            models.UniqueConstraint(fields=["topic", "language"], name="one_text_a_language"),
            models.CheckConstraint(
                condition=Q(approved_sha256="", approved_by__isnull=True, approved_at__isnull=True)
                | (~Q(approved_sha256="") & Q(approved_by__isnull=False, approved_at__isnull=False)),
                name="approved_by_a_named_person",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title} ({self.get_language_display()})"

    def save(self, *args: Any, **kwargs: Any) -> None:
        """A text that is written anew translates the English as it stands now."""
        kept = TopicText.objects.filter(pk=self.pk).values_list("title", "text").first()
        if kept != (self.title, self.text):
            self.english_sha256 = english_sha256(self.topic)
            if kwargs.get("update_fields") is not None:
                kwargs["update_fields"] = {*kwargs["update_fields"], "english_sha256"}
        super().save(*args, **kwargs)

    @property
    def both_sha256(self) -> str:
        """Of what stands side by side when somebody reads it to approve it."""
        return digest({"english": english_sha256(self.topic), "language": self.language, "title": self.title,
                       "text": self.text})  # fmt: skip

    @property
    def is_approved(self) -> bool:
        return self.approved_sha256 == self.both_sha256

    @property
    def is_behind(self) -> bool:
        """The English was changed after this was written."""
        return self.english_sha256 != english_sha256(self.topic)


def english_sha256(topic: Topic) -> str:
    return digest({"title": topic.title, "text": topic.text})
