"""Findings about what was agreed: who was there and signed what, what was explained, at which prices."""

from datetime import timedelta

from django.utils.timezone import localtime
from django.utils.translation import gettext as _

from handover.counter.models import Waiver
from handover.dispute.evidence.finding import Finding, Found, Side, in_the_ledger, of_walk
from handover.dispute.evidence.gathering import Gathered
from handover.dispute.evidence.photographs import Photographed
from handover.record.figures import digest_groups
from handover.statement.models import Signature
from handover.walkround.models import WalkRound
from shared.dates import dated, dated_moment
from shared.phrasebook import inside, said

MOVED_MEANWHILE = timedelta(hours=1)


def presence(found: Gathered, shown: Photographed) -> Found:
    back = found.back
    if back is None:
        return
    if back.mode == WalkRound.Mode.ATTENDED:
        yield Finding(_("The customer was present at the return."), of_walk(back), Side.FOR)
        return
    yield Finding(_("The customer was not present at the return."), of_walk(back), Side.AGAINST)
    yield _first_photo(found, back)


def _first_photo(found: Gathered, back: WalkRound) -> Finding:
    """Nobody saw it between the arrival and the first photo: it may have been moved or washed."""
    there = back.keys_found_at or back.arrived_at or back.started_at
    taken = [photo.at for photo in found.photos if photo.walk_id == back.pk]
    rests = _("keys found or arrival, and the times of the photos")
    if not taken:
        return Finding(_("No photo before it was moved: the return has none."), rests, Side.AGAINST)
    if back.moved_first:
        return Finding(_("No photo before it was moved or washed."), rests, Side.AGAINST)
    minutes = max(round((min(taken) - there) / timedelta(minutes=1)), 0)
    if min(taken) - there > MOVED_MEANWHILE:
        words = _("The first photo came %(minutes)s min after the keys: it may have been moved before.")
        return Finding(words % {"minutes": minutes}, rests, Side.AGAINST)
    words = _("The first photo was taken %(minutes)s min after the keys were found.")
    return Finding(words % {"minutes": minutes}, rests, Side.FOR)


def signatures(found: Gathered, shown: Photographed) -> Found:
    out = [row for row in found.signatures if found.out and row.walk_id == found.out.pk and row.role == "customer"]
    now = [row for row in found.signatures if row.statement_id == found.dispute.statement_id and row.role == "customer"]
    if out:
        yield _signature(out[-1], _("Signed at pickup by %(name)s."), _("Not signed at pickup, %(outcome)s."))
    elif found.out:
        yield Finding(_("Not signed at pickup."), _("signatures under the pickup"), Side.AGAINST)
    if now:
        yield _signature(
            now[-1], _("The statement was signed by %(name)s."), _("The statement is not signed, %(outcome)s.")
        )


def _signature(row: Signature, signed: str, unsigned: str) -> Finding:
    bound = _("%(at)s, bound to the digest %(digest)s of what was shown") % {
        "at": dated_moment(localtime(row.at)), "digest": digest_groups(row.content_sha256, 12),
    }  # fmt: skip
    if row.outcome == Signature.Outcome.SIGNED:
        return Finding(signed % {"name": row.name}, bound, Side.FOR)
    outcome = inside(row.get_outcome_display())
    return Finding(unsigned % {"outcome": outcome}, f"{bound}. {row.reason}".strip(), Side.AGAINST)


def topics(found: Gathered, shown: Photographed) -> Found:
    """Those of the station where the thing is: what was said about it before it left."""
    asked = {str(ask.id): ask for station in found.thing.stations for ask in station.topics}
    heard = {told["item"]: (entry, told) for entry, told in found.told("topic.heard") if told["item"] in asked}
    for item, ask in asked.items():
        if item not in heard:
            yield Finding(
                _("“%(topic)s” was not spoken about.") % {"topic": said(ask.title)},
                _("topics of the pickup"),
                Side.AGAINST,
            )
            continue
        entry, told = heard[item]
        words = {
            "understood": _("“%(topic)s” was understood, shown in %(language)s."),
            "declined": _("“%(topic)s” was offered in %(language)s and declined."),
        }.get(told["outcome"], _("“%(topic)s” was shown in %(language)s, without a confirmation."))
        side = Side.FOR if told["outcome"] == "understood" else Side.FACT
        named = {"topic": said(ask.title), "language": told["language"]}
        yield Finding(words % named, in_the_ledger(entry), side)


def rate_card(found: Gathered, shown: Photographed) -> Found:
    rental = found.dispute.rental
    card = (rental.frozen or {}).get("rate_card", {})
    if card and rental.frozen_at:
        words = _("Priced by rate card %(number)s, as it stood at the pickup signature.") % {"number": card["number"]}
        yield Finding(words, _("frozen %(day)s") % {"day": dated(localtime(rental.frozen_at))}, Side.FOR)


def taken_off(found: Gathered, shown: Photographed) -> Found:
    dispute = found.dispute
    for entry, told in found.told("line.waived"):
        if (told["code"], told["ref"]) == (dispute.code, dispute.ref):
            much = f"{told['percent']} %" if told["percent"] else f"{told['amount']} {dispute.rental.currency}"
            reason = inside(str(Waiver.Reason(told["reason"]).label))
            words = _("%(much)s of it was waived: %(reason)s.") % {"much": much, "reason": reason}
            yield Finding(words, in_the_ledger(entry))
    for entry, told in found.told("line.objected"):
        if (told["code"], told["ref"]) == (dispute.code, dispute.ref):
            words = _("The customer objected to it at the counter already.")
            yield Finding(words, in_the_ledger(entry))
