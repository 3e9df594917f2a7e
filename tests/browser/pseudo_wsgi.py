"""The product as it is, with one language more room-taking than any: who reads French reads the bracket language."""

from django.utils.translation import trans_real

from tests.pseudo import CODE, Pseudo

trans_real._translations |= dict.fromkeys(("fr", CODE), Pseudo())

from shared.wsgi import application  # noqa: E402

__all__ = ["application"]
