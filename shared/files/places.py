"""Which storages keep what, for the settings: folders of this machine, or the bucket that FILES_URL names."""

from pathlib import Path
from typing import Any

from django.core.exceptions import ImproperlyConfigured

from shared.files.address import NoAddress, object_store

Storages = dict[str, dict[str, Any]]


def file_storages(address: str, folder: Path) -> Storages:
    """The entries "default" and "evidence" of STORAGES. Raises ImproperlyConfigured for an address that is none."""
    if not address:
        return {
            "default": {
                "BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": folder / "files"}
            },
            "evidence": {
                "BACKEND": "shared.files.storage.EvidenceStorage", "OPTIONS": {"location": folder / "evidence"}
            },
        }  # fmt: skip
    try:
        object_store(address)
    except NoAddress as problem:
        raise ImproperlyConfigured(str(problem)) from None
    return {
        "default": {"BACKEND": "shared.files.objects.ObjectStorage", "OPTIONS": {"address": address}},
        "evidence": {"BACKEND": "shared.files.objects.ObjectEvidenceStorage", "OPTIONS": {"address": address}},
    }
