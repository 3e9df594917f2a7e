"""A day that is played while the page speaks the language of brackets."""

from collections.abc import Iterator

import pytest
from django.utils.translation import override

from tests.pseudo import spoken_instead_of


@pytest.fixture
def in_brackets() -> Iterator[None]:
    with spoken_instead_of("fr"), override("fr"):
        yield
