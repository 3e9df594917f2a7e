"""Signatures drawn on glass: strokes kept as numbers, bound to the digest of what was shown."""

from collections.abc import Sequence
from typing import Any

from handover.acting import Act, CannotBe
from handover.rental.models import Rental
from handover.statement.models import Signature, Statement
from handover.walkround.models import WalkRound
from shared.canonical import digest
from shared.ledger.personal import personal

# A pad gives about 60 points a second; a signature is over in ten seconds.
MOST_STROKES = 200
MOST_POINTS = 4000


def checked_strokes(strokes: Any) -> list[list[dict[str, int]]]:
    """Strokes as [[{x, y, t}, …], …], whole numbers in pad units and milliseconds. Raises CannotBe."""
    try:
        plain = [[{axis: int(point[axis]) for axis in ("x", "y", "t")} for point in stroke] for stroke in strokes]
    except (TypeError, KeyError, ValueError, OverflowError) as problem:
        raise CannotBe("The signature did not arrive whole. Sign again.", "strokes") from problem
    points = sum(len(stroke) for stroke in plain)
    if points < 2:
        raise CannotBe("Nothing is drawn yet. Sign on the line.", "strokes")
    if len(plain) > MOST_STROKES or points > MOST_POINTS:
        raise CannotBe("This is more than a signature. Clear it and sign again.", "strokes")
    return plain


def keep_signature(
    rental: Rental,
    *,
    role: str,
    name: str,
    content_sha256: str,
    kind: str,
    act: Act,
    walk: WalkRound | None = None,
    statement: Statement | None = None,
    strokes: Sequence[Any] = (),
    outcome: str = "signed",
    reason: str = "",
) -> Signature:
    """Signed with strokes, or refused or absent with a reason."""
    if not name.strip():
        raise CannotBe("A signature needs the name of who signs.", "name")
    if outcome != Signature.Outcome.SIGNED and not reason.strip():
        raise CannotBe("Unsigned needs its reason, in the customer's words if there are any.", "reason")
    plain = checked_strokes(strokes) if outcome == Signature.Outcome.SIGNED else []
    signature = Signature.objects.create(
        id=act.key,
        rental=rental,
        walk=walk,
        statement=statement,
        role=Signature.Role(role),
        name=name.strip(),
        outcome=Signature.Outcome(outcome),
        reason=reason.strip(),
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
            "of": str(walk.pk if walk else statement.pk if statement else rental.pk),
            "role": role,
            "outcome": outcome,
            "reason": signature.reason,
            "content_sha256": content_sha256,
            "name": personal(signature.name, kind="customer.name" if role == "customer" else "staff.name"),
            "strokes": personal(digest(plain), kind="signature.strokes"),
        },
    )
    return signature
