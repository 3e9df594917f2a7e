"""Photos made to fit a limit of size: what matters least is made smaller first, and it is said. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum


class Form(StrEnum):
    """How a photo goes in: as kept, its copy for the screen, a smaller one, or only its name and digest."""

    ORIGINAL = "original"
    DISPLAY = "display"
    SMALL = "small"
    LEFT_OUT = "left_out"


STEPS = (Form.DISPLAY, Form.SMALL, Form.LEFT_OUT)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A photo with the bytes it takes in each form. `shows_it`: of the thing that the dispute is about."""

    name: str
    original: int
    display: int
    small: int
    shows_it: bool
    form: Form = Form.ORIGINAL

    @property
    def size(self) -> int:
        return {Form.ORIGINAL: self.original, Form.DISPLAY: self.display, Form.SMALL: self.small}.get(self.form, 0)


def fitted(photos: Sequence[Weighed], room: int) -> list[Weighed]:
    """In their order, each in the largest form with which all fit into `room` bytes.

    First the photos that do not show the thing are made smaller step by step, the last of them first, and left out;
    then the others. What still does not fit is left out altogether.
    """
    chosen = list(photos)
    for of_the_thing in (False, True):
        for form in STEPS:
            for place in reversed(range(len(chosen))):
                if sum(photo.size for photo in chosen) <= room:
                    return chosen
                if chosen[place].shows_it is of_the_thing:
                    chosen[place] = _smaller(chosen[place], form)
    return chosen


def _smaller(photo: Weighed, form: Form) -> Weighed:
    """A form that is no smaller than what it has is skipped: small originals stay as they are."""
    changed = replace(photo, form=form)
    return changed if changed.size < photo.size else photo
