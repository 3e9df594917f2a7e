"""The keys, apart from the backup: whoever finds one shall not have the other."""

from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from handover.record.demo_keys import write_private
from handover.record.key_source import KeySource, key_source


def where_they_live() -> Iterator[str]:
    """A sentence for each key that a backup leaves where it is."""
    source = key_source()
    yield "The secret that signs sessions and links is in LEVELPEG_SECRET_KEY."
    if source.values["PKCS12_FILE"]:
        yield (
            f"The key that seals records is in {source.values['PKCS12_FILE']}, its passphrase in "
            "RECORD_PKCS12_PASSPHRASE."
        )
    elif source.values["PKCS11_MODULE"]:
        yield "The key that seals records is in the token that RECORD_PKCS11_TOKEN names; it cannot leave it."
    else:
        yield f"The demo key that seals records is in {source.var_dir / 'demo-keys'}."


def copy_keys(folder: Path) -> list[str]:
    """Into a new folder of their own that only its owner may read; the names that were written.

    Raises FileExistsError rather than overwrite, OSError.
    """
    folder.mkdir(mode=0o700, parents=True)
    written = dict(_contents(key_source()))
    for name, content in written.items():
        write_private(folder / name, content)
    return list(written)


def _contents(source: KeySource) -> Iterator[tuple[str, bytes]]:
    yield "LEVELPEG_SECRET_KEY", settings.SECRET_KEY.encode()
    if source.values["PKCS12_FILE"]:
        yield "seal.p12", Path(source.values["PKCS12_FILE"]).read_bytes()
        yield "RECORD_PKCS12_PASSPHRASE", source.values["PKCS12_PASSPHRASE"].encode()
    if source.values["ROOTS_FILE"]:
        yield "roots.pem", Path(source.values["ROOTS_FILE"]).read_bytes()
    if source.is_demo and (source.var_dir / "demo-keys").is_dir():
        for path in sorted((source.var_dir / "demo-keys").iterdir()):
            yield f"demo-{path.name}", path.read_bytes()
