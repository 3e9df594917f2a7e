"""A local folder for evidence: a file is there whole, or not at all, also after a power cut."""

import os
import tempfile
from pathlib import Path

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage
from django.utils.deconstruct import deconstructible

FILE_MODE = 0o640
FOLDER_MODE = 0o750


@deconstructible(path="shared.files.storage.EvidenceStorage")
class EvidenceStorage(FileSystemStorage):
    """Django's folder storage, but a file comes into being by a rename after its bytes have reached the disk."""

    def _save(self, name: str, content: "File[bytes]") -> str:
        full = Path(self.path(name))
        made = _make_folders(full.parent)
        temporary = _write_temporary(full.parent, content)
        os.replace(temporary, full)
        for folder in {full.parent, *(folder.parent for folder in made)}:
            _sync_folder(folder)
        return name.replace("\\", "/")

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        """The name as it is: it states the content, so what stands there already is the same."""
        return name


def _make_folders(folder: Path) -> list[Path]:
    """Make the missing folders, outermost first; the ones that were made."""
    missing = [parent for parent in (folder, *folder.parents) if not parent.exists()]
    folder.mkdir(mode=FOLDER_MODE, parents=True, exist_ok=True)
    for made in missing:
        made.chmod(FOLDER_MODE)  # mkdir gives parents the mode of the process
    return missing


def _write_temporary(folder: Path, content: "File[bytes]") -> str:
    """A synced file beside the one it becomes, so that the rename stays on one disk."""
    handle, temporary = tempfile.mkstemp(dir=folder, prefix=".part-")
    try:
        with os.fdopen(handle, "wb") as file:
            for chunk in content.chunks():
                file.write(chunk)
            file.flush()
            os.fchmod(file.fileno(), FILE_MODE)
            os.fsync(file.fileno())
    except BaseException:
        os.unlink(temporary)
        raise
    return temporary


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
