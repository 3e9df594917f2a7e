from pathlib import Path

import pytest
from pytest_django.fixtures import Settings


@pytest.fixture
def folder(tmp_path: Path, settings: Settings) -> Path:
    """The evidence folder of this test, not made yet."""
    place = tmp_path / "evidence"
    settings.STORAGES = {
        **settings.STORAGES,
        "evidence": {"BACKEND": "shared.files.storage.EvidenceStorage", "OPTIONS": {"location": place}},
    }
    return place
