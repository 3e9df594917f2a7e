"""One tablet of a yard, as the product's own script behaves on a good network: an answer, its word for it, the next.

Photos go in pieces ahead of their entry. Every fifteen seconds it asks whether somebody else has answered.
"""

import asyncio
import contextlib
import hashlib
import json
import random
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import aiohttp

from shared.canonical import canonical_text, digest
from shared.ids import uuid7

PIECE = 256 * 1024
LOOKS_EVERY_S = 15


@dataclass
class Seen:
    """What all tablets have measured together: seconds by what was asked, and what went wrong, in words.

    Until `all_begun`, by time.monotonic(), walk-rounds begin and are fetched whole: that is told apart.
    """

    begin_within: float = 0.0
    all_begun: float = 0.0
    taken: dict[str, list[float]] = field(default_factory=dict)
    at_first: dict[str, list[float]] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    handed_over: int = 0

    def note(self, what: str, seconds: float) -> None:
        kept = self.taken if time.monotonic() > self.all_begun else self.at_first
        kept.setdefault(what, []).append(seconds)


class Tablet:
    """`gap` seconds lie between two answers on average; `number` makes its photos its own."""

    def __init__(self, http: aiohttp.ClientSession, plan: Mapping[str, Any], seen: Seen, *, gap: float, number: int):
        self.http, self.plan, self.seen, self.gap, self.number = http, plan, seen, gap, number
        self.seq, self.etag, self.csrf = 0, "", ""
        self.cookies = {"sessionid": plan["session"]}
        self.rows: dict[int, list[Mapping[str, str]]] = {}
        self.chance = random.Random(number)  # noqa: S311

    async def work(self, picture: bytes, until: float) -> None:
        """A whole pickup, or as much of it as there is time for."""
        # A branch opens, and not all of them at once.
        await asyncio.sleep(self.chance.uniform(0, self.seen.begin_within))
        await self._begin()
        looking = asyncio.create_task(self._look_around())
        try:
            for step in self.plan["steps"]:
                await asyncio.sleep(min(self.chance.expovariate(1 / self.gap), max(0.0, until - time.monotonic())))
                if time.monotonic() >= until:
                    return
                await (self._photograph(step, picture) if step["kind"] == "photo" else self._answer(step))
            await self._hand_over()
        finally:
            looking.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await looking

    async def _begin(self) -> None:
        said = await self._ask("hello", "GET", f"/tablet/hello/?device={self.plan['device']}")
        self.csrf = said["csrf"]
        entry = self._entry("begin", None, None, {"kind": "pickup", "plate": self.plan["plate"]})
        await self._send("begin", entry | {"key": self.plan["walk"], "item": self.plan["leg"]})
        await self._look()

    async def _answer(self, step: Mapping[str, Any]) -> None:
        entry = self._entry(step["kind"], step["station"], step["item"], step["fields"])
        if await self._send("answer", entry) and step["kind"] in {"check", "reading", "topic"}:
            word = next(iter(step["fields"].values()))
            row = {"part": f"{step['kind']}-{step['item']}", "what": step["kind"], "said": word, "answer": entry["key"]}
            self.rows.setdefault(step["station"], []).append(row)

    async def _photograph(self, step: Mapping[str, Any], picture: bytes) -> None:
        """As large as the product's script sends them; a comment in the JPEG makes it one of a kind."""
        key = str(uuid7())
        data = _own(picture, key)
        sha = hashlib.sha256(data).hexdigest()
        began = time.perf_counter()
        await self._ask("how far a photo is", "GET", f"/tablet/uploads/{key}/")
        for offset in range(0, len(data), PIECE):
            piece = data[offset : offset + PIECE]
            address = f"/tablet/uploads/{key}/?offset={offset}&size={len(data)}&sha={sha}"
            headers = {"X-Chunk-Sha256": hashlib.sha256(piece).hexdigest(), "Content-Type": "application/octet-stream"}
            await self._ask("piece of a photo", "PUT", address, data=piece, headers=headers)
        fields = step["fields"] | {"sha256": sha, "size": str(len(data)), "taken_at": _now()}
        entry = self._entry("photo", step["station"], None, fields) | {"key": key}
        if await self._send("photo's entry", entry):
            self.seen.photos.append(sha)
            self.seen.note("whole photo", time.perf_counter() - began)

    async def _hand_over(self) -> None:
        stations = [{"number": number, "name": "", "rows": rows} for number, rows in sorted(self.rows.items())]
        document = {"walk": self.plan["walk"], "unit": "", "remark": "", "photos": [], "stations": stations}
        fields = {
            "name_customer": self.plan["customer"], "strokes_customer": _drawn(), "strokes_staff": _drawn(),
            "shown": canonical_text({**document, "at": _now()}), "shown_sha256": digest(document),
        }  # fmt: skip
        self.seen.handed_over += bool(await self._send("hand-over", self._entry("hand-over", None, None, fields)))

    async def _look_around(self) -> None:
        while True:
            await asyncio.sleep(LOOKS_EVERY_S)
            await self._look()

    async def _look(self) -> None:
        headers = {"If-None-Match": self.etag} if self.etag else {}
        address = f"/tablet/walk/{self.plan['leg']}/pickup/"
        # A look that finds something new brings all stations.
        said = await self._ask("look", "GET", address, headers=headers)
        # As the script: from the body, as packing makes the header's a weak one.
        self.etag = said.get("etag", self.etag)

    def _entry(self, kind: str, station: int | None, item: str | None, fields: Mapping[str, str]) -> dict[str, Any]:
        self.seq += 1
        return {
            "key": str(uuid7()), "seq": self.seq, "kind": kind, "walk": self.plan["walk"], "station": station,
            "item": item, "fields": dict(fields), "base": "", "at": _now(), "author": self.plan["person"],
            "token": self.plan["token"],
        }  # fmt: skip

    async def _send(self, what: str, entry: Mapping[str, Any]) -> bool:
        sent = {"device": self.plan["device"], "now": _now(), "mirrors": True, "rows": True, "entries": [entry]}
        said = await self._ask(what, "POST", "/tablet/entries/", json=sent)
        for moved in said.get("moved", []):
            self.etag = moved["to"] if moved["from"] == self.etag else self.etag
        status = [ack["status"] for ack in said.get("acks", [])]
        if status not in (["ok"], ["duplicate"]):
            self.seen.wrong.append(f"{what} {entry['kind']}: {said}"[:400])
            return False
        self.seen.acknowledged.append(entry["key"])
        return True

    async def _ask(self, what: str, method: str, address: str, **said: Any) -> dict[str, Any]:
        headers = {"X-CSRFToken": self.csrf, "Origin": str(self.http._base_url).rstrip("/")} | said.pop("headers", {})
        began = time.perf_counter()
        try:
            async with self.http.request(method, address, headers=headers, cookies=self.cookies, **said) as answer:
                body = await answer.read()
                brings_all = what == "look" and answer.status == 200
                self.seen.note("all stations" if brings_all else what, time.perf_counter() - began)
                self.cookies |= {name: morsel.value for name, morsel in answer.cookies.items()}
                if answer.status not in {200, 304}:
                    self.seen.wrong.append(f"{what}: {answer.status} {body[:200]!r}")
                    return {}
                return dict(json.loads(body)) if body else {}
        except (aiohttp.ClientError, TimeoutError) as problem:
            self.seen.wrong.append(f"{what}: {problem!r}")
            return {}


def _own(picture: bytes, key: str) -> bytes:
    """With a comment segment after the start of the image: other bytes, the same picture."""
    comment = key.encode()
    return picture[:2] + b"\xff\xfe" + (len(comment) + 2).to_bytes(2, "big") + comment + picture[2:]


def _drawn() -> str:
    return json.dumps([[{"x": 10, "y": 80, "t": 0}, {"x": 60, "y": 20, "t": 90}, {"x": 110, "y": 84, "t": 170}]])


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
