"""What a production sets, asked of the settings in a process of its own, as a server would read them."""

import json
import os
import subprocess
import sys

import pytest
from django.conf import settings as test_settings
from django.test import Client

from shared.access.models import Person

ASK = """
import json, django
from django.conf import settings as s
print(json.dumps({name: getattr(s, name) for name in NAMES}))
"""
WANTED = {
    "DEBUG": False,
    "SECOND_FACTOR": "required",
    "SECURE_SSL_REDIRECT": True,
    "SECURE_HSTS_SECONDS": 31_536_000,
    "SECURE_HSTS_INCLUDE_SUBDOMAINS": True,
    "SESSION_COOKIE_SECURE": True,
    "SESSION_COOKIE_NAME": "__Host-sessionid",
    "CSRF_COOKIE_SECURE": True,
    "CSRF_COOKIE_NAME": "__Host-csrftoken",
    "CSRF_COOKIE_HTTPONLY": True,
    "PROXIES": 1,
}


def production(**more: str) -> subprocess.CompletedProcess[str]:
    own = {name: text for name, text in os.environ.items() if not name.startswith(("LEVELPEG_", "DJANGO_"))}
    said = {
        "LEVELPEG_PRODUCTION": "1",
        "LEVELPEG_VAR": str(test_settings.VAR_DIR),
        "DJANGO_SETTINGS_MODULE": "shared.settings",
    }
    asked = ASK.replace("NAMES", str([*WANTED, "PASSWORD_HASHERS", "INSTALLED_APPS"]))
    return subprocess.run(
        [sys.executable, "-c", asked], env=own | said | more, capture_output=True, text=True, check=False
    )  # fmt: skip


def test_what_a_production_sets() -> None:
    said = json.loads(production(LEVELPEG_SECRET_KEY="a-secret-of-this-test-alone-long-enough").stdout)
    assert {name: said[name] for name in WANTED} == WANTED
    assert said["PASSWORD_HASHERS"][0].endswith("Argon2PasswordHasher")
    assert [app for app in said["INSTALLED_APPS"] if "debug" in app or app.startswith("tests")] == []


def test_a_production_without_its_own_secret_does_not_start() -> None:
    answer = production()
    assert answer.returncode != 0
    assert "Production needs LEVELPEG_SECRET_KEY" in answer.stderr


def test_a_mode_of_the_second_factor_that_is_none_does_not_start() -> None:
    answer = production(LEVELPEG_SECRET_KEY="x" * 50, LEVELPEG_SECOND_FACTOR="maybe")
    assert "LEVELPEG_SECOND_FACTOR is required or offered." in answer.stderr


@pytest.mark.parametrize("address", ["/", "/me/", "/sign-in/"])
def test_trace_is_not_answered(client: Client, isla: Person, address: str) -> None:
    """Nothing of the request comes back: not the cookies that a script may not read."""
    client.force_login(isla)
    answer = client.trace(address, headers={"X-Told": "what-was-told"})
    assert answer.status_code in {302, 405}
    assert "what-was-told" not in answer.text
