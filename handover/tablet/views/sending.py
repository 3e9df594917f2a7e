"""What a tablet sends: its entries, and the bytes of photos."""

from dataclasses import asdict
from datetime import timedelta
from http import HTTPStatus
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_http_methods, require_POST

from handover.acting import CannotBe
from handover.tablet.answering import SCRAPPED, api, refused, sent_json
from handover.tablet.devices import device_id_of, device_of
from handover.tablet.ending import ends_of
from handover.tablet.entry import Unreadable, instant_of
from handover.tablet.hello import instant
from handover.tablet.moving import moved, versions_before
from handover.tablet.receiving import Batch, entries_of, receive, unkeyed
from handover.tablet.stations import drawn_again
from handover.tablet.uploads import (
    MOST_IN_A_CHUNK,
    Chunk,
    NotThere,
    begin_upload,
    is_whole,
    offset_of,
    take_chunk,
)
from handover.tablet.waiting import count_on
from shared.access.requests import PersonRequest


@gzip_page
@require_POST
@api
def entries(request: PersonRequest) -> HttpResponse:
    """Acts on each entry under its author; the session only says who sends it on."""
    sent = sent_json(request)
    told = sent.get("entries")
    if not isinstance(told, list):
        raise CannotBe(_(SCRAPPED))
    now = timezone.now()
    device = device_of(device_id_of(sent.get("device")), request.user)
    batch = Batch(
        device, request.user, now, _skew(sent.get("now"), now), mirrors=sent.get("mirrors") is True,
        takes_rows=sent.get("rows") is True,
    )  # fmt: skip
    came = entries_of(told)
    before = versions_before(request.user, came)
    batch.walks = {was.walk.pk: was.walk for was in before}
    acks = unkeyed(told) + receive(batch, came)
    said = {
        "acks": [asdict(ack) for ack in acks],
        "contiguous_seq": count_on(device),
        "now": instant(now),
        **drawn_again(request, batch, now=now),
        "moved": moved(request.user, device, before),
        "ends": ends_of(request.user, batch.ended),
    }
    return JsonResponse(said, headers={"X-Outbox-Ack": "1"})


def _skew(said: Any, now: Any) -> timedelta:
    """How far the tablet's clock is ahead; none where it does not say."""
    try:
        skew: timedelta = instant_of(said) - now
    except (Unreadable, OverflowError):
        return timedelta()
    return skew


@require_http_methods(["GET", "PUT"])
@api
def upload(request: PersonRequest, key: UUID) -> HttpResponse:
    """GET says where to go on; PUT takes one chunk. 409 says where to go on after all."""
    if request.method == "GET":
        return JsonResponse({"offset": offset_of(key), "complete": is_whole(key)})
    if int(request.headers.get("Content-Length") or 0) > MOST_IN_A_CHUNK:
        return refused("chunk", HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
    size, sha256 = _number(request, "size"), request.GET.get("sha", "")[:64]
    row = begin_upload(key, size=size, sha256=sha256, by=request.user)
    chunk = Chunk(_number(request, "offset"), request.body, request.headers.get("X-Chunk-Sha256", ""))
    try:
        offset = take_chunk(row, chunk)
    except NotThere as there:
        return refused("offset", HTTPStatus.CONFLICT, offset=there.offset)
    return JsonResponse({"offset": offset, "complete": row.whole_at is not None})


def _number(request: HttpRequest, name: str) -> int:
    said = request.GET.get(name, "")
    if not (said.isascii() and said.isdigit() and len(said) < 16):
        raise CannotBe(_("The photo did not say its size. Take it once more."), name)
    return int(said)
