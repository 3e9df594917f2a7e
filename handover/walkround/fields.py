"""The fields of a form, whether the form was posted or came as an entry that a tablet had kept."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.http import HttpRequest


@dataclass(frozen=True, slots=True)
class Fields:
    """By name, each with all its values in their order."""

    said: Mapping[str, Sequence[str]]

    def get(self, name: str, usual: str = "") -> str:
        """The last value, as a form's own field of that name stands after the ones before it."""
        values = self.said.get(name)
        return values[-1] if values else usual

    def all(self, name: str) -> list[str]:
        return list(self.said.get(name, ()))

    def plain(self) -> dict[str, str]:
        return {name: values[-1] for name, values in self.said.items() if values}

    def __contains__(self, name: str) -> bool:
        return name in self.said


def fields_of(request: HttpRequest) -> Fields:
    return Fields({name: request.POST.getlist(name) for name in request.POST})
