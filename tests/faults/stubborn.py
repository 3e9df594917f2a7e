"""A tablet that does not give up: what has no answer is sent again under its key, as the product's own script does."""

import asyncio
import json
import time
from typing import Any

import aiohttp

from tests.load.tablet import Tablet

LONGEST_S = 5.0
GIVES_UP_S = 240.0
BUSY = {429, 500, 502, 503, 504}


class Stubborn(Tablet):
    """Counts how often it had to ask again; answers of the server that say nothing to a person are kept as wrong."""

    again = 0

    async def _ask(self, what: str, method: str, address: str, **said: Any) -> dict[str, Any]:
        until, wait = time.monotonic() + GIVES_UP_S, 0.2
        while time.monotonic() < until:
            answer = await self._once(method, address, dict(said))
            if answer is not None and not self._is_waiting(answer):
                return answer
            self.again += 1
            await asyncio.sleep(wait * self.chance.uniform(0.5, 1.0))
            wait = min(wait * 2, LONGEST_S)
        self.seen.wrong.append(f"{what}: no answer for {GIVES_UP_S:.0f} s")
        return {}

    async def _once(self, method: str, address: str, said: dict[str, Any]) -> dict[str, Any] | None:
        """None where it has to be asked again."""
        headers = {"X-CSRFToken": self.csrf, "Origin": str(self.http._base_url).rstrip("/")} | said.pop("headers", {})
        try:
            async with self.http.request(method, address, headers=headers, cookies=self.cookies, **said) as answer:
                body = await answer.read()
                self.cookies |= {name: morsel.value for name, morsel in answer.cookies.items()}
                if answer.status in BUSY:
                    self._look_at(answer.status, body)
                    return None
                if answer.status == 409:
                    # The bytes of a photo go on where the server has them.
                    return await self._rest_of_the_photo(address, said, json.loads(body)["offset"])
                if answer.status not in {200, 304}:
                    self.seen.wrong.append(f"{method} {address}: {answer.status} {body[:200]!r}")
                    return {}
                return dict(json.loads(body)) if body else {}
        except (aiohttp.ClientError, TimeoutError, ConnectionError):
            return None

    async def _rest_of_the_photo(self, address: str, said: dict[str, Any], offset: int) -> dict[str, Any] | None:
        """Sent once more from where it stopped: a piece that had arrived before its answer was lost."""
        sent = int(address.partition("offset=")[2].partition("&")[0]) + len(said["data"])
        return {"offset": offset} if offset >= sent else None

    def _is_waiting(self, answer: dict[str, Any]) -> bool:
        """What comes too early, as a photo's entry before its bytes, stays on the tablet and goes again."""
        return any(ack["status"] == "waiting" for ack in answer.get("acks", []))

    def _look_at(self, status: int, body: bytes) -> None:
        text = body.decode(errors="replace")
        told = "What was kept before is kept" in text or '"error"' in text or '"title"' in text
        if not told:
            self.seen.wrong.append(f"{status} without a sentence: {text[:200]!r}")
