"""Signatures drawn on glass: strokes kept as numbers, bound to the digest of what was shown."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.statement.models import Signature, Statement
from handover.walkround.models import WalkRound
from shared.canonical import digest
from shared.ledger.personal import personal, worded

# A pad gives about 60 points a second; a signature is over in ten seconds.
MOST_STROKES = 200
MOST_POINTS = 4000
# In pad units and milliseconds: more than any sheet, and more than a day.
FARTHEST = 100_000_000


def checked_strokes(strokes: Any) -> list[list[dict[str, int]]]:
    """Strokes as [[{x, y, t}, …], …], whole numbers in pad units and milliseconds. Raises CannotBe."""
    try:
        plain = [[{axis: int(point[axis]) for axis in ("x", "y", "t")} for point in stroke] for stroke in strokes]
    except (TypeError, KeyError, ValueError, OverflowError) as problem:
        raise CannotBe(_("The signature did not arrive whole. Sign again."), "strokes") from problem
    points = sum(len(stroke) for stroke in plain)
    if points < 2:
        raise CannotBe(_("Nothing is drawn yet. Sign on the line."), "strokes")
    if len(plain) > MOST_STROKES or points > MOST_POINTS:
        raise CannotBe(_("This is more than a signature. Clear it and sign again."), "strokes")
    if any(abs(number) > FARTHEST for stroke in plain for point in stroke for number in point.values()):
        raise CannotBe(_("The signature runs off any sheet. Clear it and sign again."), "strokes")
    return plain


@dataclass(frozen=True, slots=True)
class Signed:
    """What somebody did: signed with strokes, at a desk signed in and without a drawing, or refused or absent."""

    role: str
    name: str
    strokes: Sequence[Any] = ()
    outcome: str = Signature.Outcome.SIGNED
    reason: str = ""
    drawn: bool = True

    def checked(self) -> list[list[dict[str, int]]]:
        """The strokes to keep. Raises CannotBe."""
        if self.role not in Signature.Role.values or self.outcome not in Signature.Outcome.values:
            raise CannotBe(_("Customer and staff sign, or it stays unsigned: refused, or not here."), "outcome")
        if not self.name.strip():
            raise CannotBe(_("A signature needs the name of who signs."), "name")
        if self.outcome == Signature.Outcome.SIGNED and self.drawn:
            return checked_strokes(self.strokes)
        if not self.reason.strip():
            raise CannotBe(_("Unsigned needs its reason, in the customer's words if there are any."), "reason")
        return []


def keep_signature(of: WalkRound | Statement, *, signed: Signed, content_sha256: str, kind: str, act: Act) -> Signature:
    """Under a walk-round or a statement, bound to the digest of what was shown of it."""
    rental = of.rental if isinstance(of, Statement) else of.leg.rental
    plain = signed.checked()
    signature = Signature.objects.create(
        id=act.key,
        rental=rental,
        walk=of if isinstance(of, WalkRound) else None,
        statement=of if isinstance(of, Statement) else None,
        role=Signature.Role(signed.role),
        name=signed.name.strip(),
        outcome=Signature.Outcome(signed.outcome),
        reason=signed.reason.strip(),
        strokes=plain,
        content_sha256=content_sha256,
        at=act.at,
        by=act.by,
    )
    act.write(
        chain=rental.pk,
        kind=kind,
        subject=signature.pk,
        payload={
            "of": str(of.pk),
            "role": signed.role,
            "outcome": signed.outcome,
            "reason": worded(signature.reason),
            "content_sha256": content_sha256,
            "name": personal(signature.name, kind="customer.name" if signed.role == "customer" else "staff.name"),
            "strokes": personal(digest(plain), kind="signature.strokes"),
        },
    )
    return signature
