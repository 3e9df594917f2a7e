"""Prices stored inputs again, over all cores. Pure: the workers get text and give digests, and see no database."""

import json
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.pool import AsyncResult, Pool

from handover.charges import RULES_VERSION, DocumentError, parse, price
from shared.canonical import sha256_hex

# Chunks that wait in each worker's queue: enough that none idles, few enough that memory stays flat.
WAITING = 2


@dataclass(frozen=True, slots=True)
class Stored:
    """A statement as it is kept: both texts are canonical JSON, `digest` is the SHA-256 kept beside the result."""

    rental: str
    version: int
    inputs: str
    result: str
    rules_version: str
    digest: str

    @property
    def name(self) -> str:
        return f"{self.rental}, version {self.version}"


def digests(inputs: Sequence[str]) -> list[str]:
    """For each pricing document the SHA-256 of its result, or nothing when it can no longer be priced."""
    return [_digest(text) for text in inputs]


def _digest(text: str) -> str:
    try:
        return sha256_hex(price(parse(json.loads(text))).as_bytes())
    except (DocumentError, ValueError):
        return ""


def differences(chunks: Iterable[Sequence[Stored]], *, processes: int) -> Iterator[tuple[int, list[str]]]:
    """For each chunk, in order: how many statements it has, and a sentence for each that is not as it was."""
    for chunk, again in _priced(chunks, processes):
        yield len(chunk), [said for row, digest in zip(chunk, again, strict=True) if (said := _difference(row, digest))]


def _priced(
    chunks: Iterable[Sequence[Stored]], processes: int
) -> Iterator[tuple[Sequence[Stored], list[str]]]:  # fmt: skip
    if processes == 1:
        yield from ((chunk, digests([row.inputs for row in chunk])) for chunk in chunks)
        return
    # Spawned, not forked: a worker must not carry the parent's open database connection.
    with get_context("spawn").Pool(processes) as pool:
        yield from _windowed(pool, chunks, processes * WAITING)
        pool.close()
        pool.join()


def _windowed(
    pool: Pool, chunks: Iterable[Sequence[Stored]], most: int
) -> Iterator[tuple[Sequence[Stored], list[str]]]:
    """Takes the next chunk from the source only when an earlier one is done: what is in flight is bounded."""
    flying: deque[tuple[Sequence[Stored], AsyncResult[list[str]]]] = deque()
    for chunk in chunks:
        flying.append((chunk, pool.apply_async(digests, ([row.inputs for row in chunk],))))
        if len(flying) >= most:
            done, result = flying.popleft()
            yield done, result.get()
    yield from ((done, result.get()) for done, result in flying)


def _difference(row: Stored, again: str) -> str:
    kept = sha256_hex(row.result.encode())
    if kept != row.digest:
        return f"{row.name}: what is kept is not what was signed; its digest says {row.digest}."
    if kept == again:
        return ""
    return f"{row.name}: {_what_differs(row)}"


def _what_differs(row: Stored) -> str:
    """Priced once more for its words: it happens to none, so the time does not count."""
    try:
        now = price(parse(json.loads(row.inputs)))
    except (DocumentError, ValueError) as problem:
        return f"it can no longer be priced. {problem}"
    was = json.loads(row.result)["totals"]["total"]
    versions = "" if row.rules_version == RULES_VERSION else f" Rules {row.rules_version} then, {RULES_VERSION} now."
    if str(now.totals.as_document()["total"]) == was:
        return f"the total of {was} is the same, what leads to it is not.{versions}"
    return f"priced again it is {now.totals.as_document()['total']}, kept is {was}.{versions}"
