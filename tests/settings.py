"""Settings of the test run: the product's own, with a scratch folder and cheap passwords."""

import gc
import tempfile
from pathlib import Path

from shared.settings import *  # noqa: F403
from shared.settings import STORAGES

# Looked for less often, what is unreachable costs a third of the time: a run that keeps all of the product and of its
# tests in memory has much to look through.
gc.set_threshold(50_000, 20, 20)
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
