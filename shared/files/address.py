"""Where files lie, as one address says it: s3://key:secret@host:port/bucket?region=…&addressing=path&secure=1."""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from urllib.parse import parse_qsl, unquote, urlsplit

FORM = "s3://key:secret@host:port/bucket?region=us-east-1&addressing=path&secure=1&prefix=folder"
ASKED = frozenset({"region", "addressing", "secure", "prefix"})
YES, NO = frozenset({"1", "true", "yes"}), frozenset({"0", "false", "no"})


class NoAddress(ValueError):
    """Says what is wrong with FILES_URL, without the secret that stands in it."""


@dataclass(frozen=True, slots=True)
class ObjectStore:
    """A bucket of an S3 store. `endpoint` is http(s)://host[:port]; `prefix` is put before every name, or empty."""

    key: str
    secret: str
    endpoint: str
    bucket: str
    region: str
    addressing: str
    prefix: str

    def __repr__(self) -> str:
        """Without the secret, which would otherwise stand in a traceback."""
        shown = {one.name: getattr(self, one.name) for one in fields(self) if one.name != "secret"}
        return f"ObjectStore({shown})"


def object_store(address: str) -> ObjectStore:
    """What an address names. Special characters of key and secret are written as %XX. Raises NoAddress."""
    try:
        parts = urlsplit(address)
        port = f":{parts.port}" if parts.port else ""
        asked = dict(parse_qsl(parts.query, strict_parsing=bool(parts.query)))
    except ValueError as fault:
        raise NoAddress(f"FILES_URL cannot be read. It looks like {FORM}") from fault
    bucket = parts.path.strip("/")
    if parts.scheme != "s3" or not (parts.username and parts.password and parts.hostname and bucket) or "/" in bucket:
        raise NoAddress(f"FILES_URL names no bucket with its key. It looks like {FORM}")
    if unknown := sorted(asked.keys() - ASKED):
        raise NoAddress(f"FILES_URL says {', '.join(unknown)}; it can say {', '.join(sorted(ASKED))}.")
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    return ObjectStore(
        key=unquote(parts.username),
        secret=unquote(parts.password),
        endpoint=f"{'https' if _secure(asked) else 'http'}://{host}{port}",
        bucket=bucket,
        region=asked.get("region", "us-east-1"),
        addressing=_addressing(asked),
        prefix=asked.get("prefix", "").strip("/"),
    )


def _secure(asked: Mapping[str, str]) -> bool:
    said = asked.get("secure", "1").lower()
    if said not in YES | NO:
        raise NoAddress("FILES_URL says neither secure=1 (https) nor secure=0 (http, within one machine or room).")
    return said in YES


def _addressing(asked: Mapping[str, str]) -> str:
    """path: host/bucket/name, which every store of one's own speaks; virtual: bucket.host/name."""
    said = asked.get("addressing", "path")
    if said not in {"path", "virtual", "auto"}:
        raise NoAddress("FILES_URL says addressing=path, virtual or auto.")
    return said
