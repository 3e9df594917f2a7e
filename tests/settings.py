"""Settings of the test run: the product's own, with a scratch folder and cheap passwords."""

import tempfile
from pathlib import Path

from shared.settings import *  # noqa: F403
from shared.settings import STORAGES

VAR_DIR = Path(tempfile.mkdtemp(prefix="levelpeg-test-"))
# Nothing is collected for a test; the folder is there so that nobody warns of its absence.
STATIC_ROOT = VAR_DIR / "static"
STATIC_ROOT.mkdir()
UPLOADS_DIR = VAR_DIR / "uploads"
# A test that wants a bucket says so: tests/files/store.py.
FILES_URL = ""
STORAGES = STORAGES | {
    "evidence": {"BACKEND": "shared.files.storage.EvidenceStorage", "OPTIONS": {"location": VAR_DIR / "evidence"}}
}
# Every client of a test would read all static files first.
WHITENOISE_AUTOREFRESH = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
