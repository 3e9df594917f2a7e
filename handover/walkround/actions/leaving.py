"""The customer leaves in the middle of a return: what is found from then on is found without them."""

from django.db import transaction
from django.utils.translation import gettext as _

from handover.acting import Act, CannotBe
from handover.walkround.guard import begin
from handover.walkround.models import WalkRound
from shared.ledger.personal import worded

LEFT = "return.customer_left"


@transaction.atomic
def customer_left(walk: WalkRound, *, words: str, act: Act) -> WalkRound:
    """`words` are why, in the customer's if there were any. Raises CannotBe."""
    if earlier := begin(walk, WalkRound, LEFT, act):
        return earlier
    walk.refresh_from_db(fields=["mode"])
    if not walk.is_return or walk.mode != WalkRound.Mode.ATTENDED:
        raise CannotBe(_("Only who is here for a return can leave before its end."))
    if not words.strip():
        raise CannotBe(_("Say why they did not wait, in their words if there were any."), "words")
    walk.mode, walk.left_at, walk.left_because = WalkRound.Mode.ABSENT, act.at, words.strip()
    walk.save(update_fields=["mode", "left_at", "left_because"])
    act.write(
        chain=walk.leg.rental_id, kind=LEFT, subject=walk.pk,
        payload={"walk": str(walk.pk), "words": worded(walk.left_because)},
    )  # fmt: skip
    return walk
