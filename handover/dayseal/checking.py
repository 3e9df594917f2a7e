"""Whether a day seal holds: what it says of its day, who signed it, and when an authority saw it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from asn1crypto import x509
from django.utils.translation import gettext as _

from handover.dayseal.signing import Found, check_signature, check_stamp
from handover.record.keys import trusted_roots
from shared.dates import dated_moment
from shared.ledger.day_document import NoDocument, read_document
from shared.ledger.days import SEALS_CHAIN, entries_of, verify_day
from shared.ledger.models import DaySeal
from shared.ledger.verifying import Progress, readable, verify_chain


@dataclass(frozen=True, slots=True)
class Checked:
    """`sentences` in order, the last ones why not when it is not valid."""

    valid: bool
    sentences: Sequence[str]


def verify_signatures(seals: Iterator[DaySeal] | None = None) -> Iterator[str]:
    """A sentence for each seal whose signature or time stamp does not hold."""
    return readable(_verify_signatures(seals), "A day seal")


def _verify_signatures(seals: Iterator[DaySeal] | None) -> Iterator[str]:
    roots = trusted_roots()
    for seal in seals or DaySeal.objects.order_by("number").iterator(chunk_size=50):
        for found in _found(seal, roots):
            yield from (f"{seal}: {problem}." for problem in found.problems)


def verify_whole_day(seal: DaySeal, *, progress: Progress) -> Iterator[str]:
    """A sentence for each problem of a sealed day: its seal, its signature, and every chain written to on it."""
    yield from verify_day(seal)
    yield from verify_signatures(iter([seal]))
    yield from verify_chain(SEALS_CHAIN)
    for chain in entries_of(seal.day).values_list("chain", flat=True).distinct().order_by("chain"):
        yield from verify_chain(chain, progress=progress)


def checked(seal: DaySeal) -> Checked:
    """For the page of a day: what was found, in sentences."""
    problems = [*verify_whole_day(seal, progress=lambda: None)]
    if problems:
        return Checked(valid=False, sentences=problems[:20])
    said = read_document(seal.document)
    return Checked(valid=True, sentences=[*_good(seal, said["leaves"], said["entries"])])


def _good(seal: DaySeal, leaves: int, entries: int) -> Iterator[str]:
    yield _("%(entries)s entries in %(leaves)s chains stand as they were recorded.") % {
        "entries": entries, "leaves": leaves,
    }  # fmt: skip
    yield _("Their root, reckoned again from the entries, is the one that was signed.")
    if seal.number > 1:
        yield _("The seal names the one before it, and all %(count)s before it.") % {"count": seal.number - 1}
    signed, *stamped = _found(seal, trusted_roots())
    yield _("Signed by %(who)s. Its certificate leads to the operator’s root.") % {"who": signed.who}
    for found in stamped:
        yield _("%(who)s saw the signature on %(when)s (UTC).") % {
            "who": found.who, "when": dated_moment(found.when) if found.when else "",
        }  # fmt: skip
    if not stamped:
        yield _("No time-stamping authority is configured: the time is that of this machine.")


def _found(seal: DaySeal, roots: Sequence[x509.Certificate]) -> Iterator[Found]:
    try:
        at = datetime.fromisoformat(read_document(seal.document)["sealed_at"])
    except (NoDocument, ValueError):
        yield Found(("it does not say when it was made",))
        return
    signature = bytes(seal.signature)
    yield check_signature(seal.document, signature, at=at, roots=roots)
    if seal.stamp:
        yield check_stamp(bytes(seal.stamp), signature, roots=roots)
