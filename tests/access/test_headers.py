"""Headers beside those that the authorisation matrix asks of every answer (tests/pages/headers.py)."""

from typing import Any

import pytest
from django.http import FileResponse, HttpResponse
from django.test import Client, RequestFactory

from shared.access.middleware import HeadersMiddleware
from shared.access.models import Person
from tests.factories import PASSWORD
from tests.pages.headers import OF_A_FILE


@pytest.mark.parametrize(
    ("kind", "way", "sandboxed"),
    [
        ("image/svg+xml", "", True),
        ("image/jpeg", "", True),
        ("text/html", "attachment; filename=a.html", True),
        ("application/zip", "attachment", True),
        ("application/pdf", "inline; filename=a.pdf", False),
        ("text/html", "", False),
    ],
)
def test_a_file_stands_in_a_sandbox(rf: RequestFactory, kind: str, way: str, sandboxed: bool) -> None:
    answer = HttpResponse(b"<script>", content_type=kind, headers={"Content-Disposition": way} if way else {})
    said = HeadersMiddleware(lambda request: answer)(rf.get("/")).headers
    assert (said.get("Content-Security-Policy") == OF_A_FILE) == sandboxed


def test_static_files_too(client: Client, db: None) -> None:
    answer: Any = client.get("/static/js/passkey.js")
    assert isinstance(answer, FileResponse)
    b"".join(answer.streaming_content)  # type: ignore[arg-type]
    answer.close()
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"


@pytest.mark.parametrize("name", ["sessionid", "device"])
def test_cookies_of_a_sign_in(client: Client, isla: Person, name: str) -> None:
    cookie = client.post("/sign-in/", {"username": "isla", "password": PASSWORD}).cookies[name]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
