"""The page of a Record: content and drawings turned into what the template says. No markup but drawings from here."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from urllib.parse import urlsplit

import segno
from django.utils.safestring import SafeString, mark_safe

from handover.record.content import Extra, Heading, Mark, RecordContent, Signature, WalkRound
from handover.record.figures import Writing, digest_groups
from handover.record.levels import level_rows
from handover.record.marks import plan_svg
from handover.record.photo_rows import photo_rows
from handover.record.sentences import odometer_sentence, photos_sentence, topics_sentence
from handover.record.signature_svg import signature_svg
from handover.record.statement_rows import StatementPrint, statement_print
from handover.record.topic_rows import topic_rows
from handover.record.walk_rows import held, station_rows, unanswered

MARKS_BESIDE = 9
# More instruments than this stand closer, so that statement and signatures stay on the first page.
LEVELS_AT_EASE = 8
SIGNED_IN_A_ROW = 4
MODES = {"attended": "with the customer", "key_drop": "after a key drop", "absent": "without the customer"}
UNSIGNED = {"refused": "refused to sign", "absent": "not present"}


def page_context(content: RecordContent, *, plan: str) -> dict[str, Any]:
    """What the template needs. `plan` is the inner markup of the plan's drawing, built on the server."""
    writing = Writing.of(content.operator)
    return {
        "content": content,
        "writing": writing,
        "foot": f"Record {content.record.number}, {content.record.kind}",
        **_head(content, writing),
        **_first_page(content, writing, plan),
        **_seal(content),
        "walks": [(_walk_sentence(walk, writing), unanswered(walk)) for walk in content.walk_rounds],
        "stations": station_rows(content, writing),
        "topic_rows": topic_rows(content),
        "remarks": _remarks(content, writing),
        "facts": list(_facts(content, writing)),
        "photo_rows": photo_rows(content, writing),
    }


def _head(content: RecordContent, writing: Writing) -> dict[str, Any]:
    rental = content.rental
    return {
        "check_at": shown_address(content.record),
        "qr": _drawn(qr_svg(content.record.page_url)),
        "left_at": writing.moment(rental.left_at),
        "back_at": writing.moment(rental.came_back_at if content.is_return else rental.planned_return_at),
        "odometer": odometer_sentence(content),
    }


def _first_page(content: RecordContent, writing: Writing, plan: str) -> dict[str, Any]:
    this_year = content.record.made_at.year
    levels = [(row, _drawn(row.stick)) for row in level_rows(content)]
    cells = [_signed(signature, writing) for signature in content.signatures]
    return {
        "levels": levels,
        "levels_many": len(levels) > LEVELS_AT_EASE,
        "plan": _drawn(plan_svg(plan, content.marks)),
        "marks": [(mark, writing.day(mark.since)) for mark in content.marks],
        "marks_beside": [(mark, writing.day(mark.since, this_year=this_year)) for mark in marks_beside(content.marks)],
        "statement": _statement(content, writing),
        "signed": [cells[start : start + SIGNED_IN_A_ROW] for start in range(0, len(cells), SIGNED_IN_A_ROW)],
    }


def _statement(content: RecordContent, writing: Writing) -> StatementPrint | None:
    return statement_print(content.statement, writing) if content.statement else None


def _seal(content: RecordContent) -> dict[str, Any]:
    return {
        "topics": topics_sentence(content),
        "photos": photos_sentence(content),
        "last_digest": digest_groups(content.ledger.digest, 16),
        "previous_digest": digest_groups(content.previous.sha256) if content.previous else "",
    }


def _drawn(svg: str) -> SafeString:
    """Only for drawings made of numbers and escaped text on the server."""
    return mark_safe(svg)  # noqa: S308


def qr_svg(url: str) -> str:
    return str(segno.make_qr(url, error="m").svg_inline(border=0, dark="#1a1724", omitsize=True))


def shown_address(heading: Heading) -> str:
    """The address as a person types it: without the scheme, and without number and code, which stand below it."""
    parts = urlsplit(heading.page_url)
    path = parts.path.rstrip("/").removesuffix(f"/{heading.number}/{heading.code}")
    return f"{parts.netloc}{path}"


def marks_beside(marks: Sequence[Mark]) -> list[Mark]:
    """As many as there is room for beside the plan, new ones before known ones, in the order of their numbers."""
    chosen = sorted(marks, key=lambda mark: (not mark.is_new, mark.number))[:MARKS_BESIDE]
    return sorted(chosen, key=lambda mark: mark.number)


@dataclass(frozen=True)
class SignedCell:
    drawing: SafeString
    without: str
    who: str
    role: str
    act: str


def _signed(signature: Signature, writing: Writing) -> SignedCell:
    drawing = signature_svg(signature.strokes) if signature.outcome == "signed" else ""
    said = UNSIGNED.get(signature.outcome, "signed without a drawing")
    without = f"{said}: {signature.reason}" if signature.reason else said
    act = f"{signature.act}, {writing.short(signature.at)}"
    return SignedCell(_drawn(drawing), without, signature.who, signature.role, act)


def _walk_sentence(walk: WalkRound, writing: Writing) -> str:
    ended = f" to {writing.clock(walk.finished_at)}" if walk.finished_at else ", not finished"
    begun = f"{walk.kind.capitalize()}: {walk.by}, {writing.moment(walk.started_at)}"
    return f"{begun}{ended}, {MODES[walk.mode]}{_keys(walk, writing)}{_paper(walk, writing)}."


def _keys(walk: WalkRound, writing: Writing) -> str:
    """Who found the keys and when; between when it came, where nobody saw it."""
    if walk.keys is None:
        return ""
    until = walk.keys.arrived_until
    unseen = f", came not later than {writing.moment(until)}" if until else ""
    return f", keys found by {walk.keys.by}, {writing.moment(walk.keys.at)}{unseen}"


def _paper(walk: WalkRound, writing: Writing) -> str:
    """Where the answers come from, if not from a tablet."""
    if walk.paper is None:
        return ""
    sheet, moment = walk.paper, writing.moment(walk.paper.keyed_in_at)
    if sheet.lost:
        return f", paper sheet {sheet.number} is lost ({sheet.lost}): said by {sheet.keyed_in_by}, {moment}"
    return f", keyed in from paper sheet {sheet.number} by {sheet.keyed_in_by}, {moment}"


def _remarks(content: RecordContent, writing: Writing) -> list[tuple[str, str]]:
    return [
        (remark.text, f"{walk.kind}, {writing.short(remark.at)}, taken down by {remark.by}")
        for walk in content.walk_rounds
        for remark in walk.remarks
    ]


def _facts(content: RecordContent, writing: Writing) -> list[tuple[str, str]]:
    """What the rental promised, as (what, words); what is absent is not printed."""
    rental, layout = content.rental, content.unit.layout
    excess = f", excess {writing.money(rental.excess)}" if rental.excess is not None else ""
    size = f"{layout.length_mm} by {layout.width_mm} mm, height {layout.height_mm} mm, at most {layout.max_mass_kg} kg"
    facts = [
        ("Drivers", ", ".join(rental.drivers)),
        ("Due back", writing.moment(rental.planned_return_at)),
        ("Deposit", _money(rental.deposit, writing)),
        ("Liability", f"{rental.liability}{excess}"),
        ("Layout", f"{layout.name}: {size}"),
        ("VIN", content.unit.vin),
        *_let_go(content, writing),
        *_overload(content),
        *_shown_offline(content),
    ]
    extras = [_extra(extra, writing) for extra in rental.extras]
    signed = [_signed_content(signature) for signature in content.signatures]
    return [(what, words) for what, words in facts if words] + extras + signed


def _let_go(content: RecordContent, writing: Writing) -> Iterator[tuple[str, str]]:
    """A unit that went out with jobs open or something due on the trip: who let it go, and why."""
    for walk in content.walk_rounds:
        if walk.let_go:
            what = "; ".join([*walk.let_go.due, *walk.let_go.jobs])
            said = f"{what}. {walk.let_go.by}, {writing.moment(walk.let_go.at)}"
            yield "Let go with jobs open" if walk.let_go.jobs else "Let go as it was", f"{said}: {walk.let_go.reason}"


def _overload(content: RecordContent) -> Iterator[tuple[str, str]]:
    for walk in content.walk_rounds:
        if walk.overload:
            yield f"Load at the {walk.kind}", held(walk.overload).removeprefix("held: ")


def _shown_offline(content: RecordContent) -> Iterator[tuple[str, str]]:
    """A walk-round that was signed without a network: what of it stands otherwise now."""
    for walk in content.walk_rounds:
        if walk.shown_offline:
            late = [f"{row.what} (signed as: {row.shown or 'open'})" for row in walk.shown_offline.differences]
            words = f"Not on what was signed: {'; '.join(late)}." if late else "All of it stands as it was signed."
            yield f"{walk.kind.capitalize()} signed without a network", words


def _signed_content(signature: Signature) -> tuple[str, str]:
    return f"Seen by {signature.who}: {signature.act}", f"SHA-256 {digest_groups(signature.content_sha256)}"


def _money(amount: Decimal | None, writing: Writing) -> str:
    return "" if amount is None else writing.money(amount)


def _extra(extra: Extra, writing: Writing) -> tuple[str, str]:
    bought = f"bought {writing.moment(extra.bought_at)}" if extra.bought_at else ""
    return f"Extra: {extra.name}", ", ".join(
        part for part in (extra.covers, _money(extra.price, writing), bought) if part
    )
