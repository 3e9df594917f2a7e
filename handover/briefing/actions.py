"""What is done about languages: the customer's is chosen for a walk-round; a translation is approved, or taken back.

Approvals stand on the chain of the layout, which all its units share.
"""

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.languages import BRIEFED, BY_CODE
from fleet.models import TopicText, english_sha256
from handover.acting import Act, CannotBe
from handover.walkround.guard import begin
from handover.walkround.models import WalkRound
from shared.access.roles import Right
from shared.access.scope import require_right


@transaction.atomic
def choose_language(walk: WalkRound, *, language: str, act: Act) -> WalkRound:
    """The briefing goes on in this language, and the customer's later papers do too. Raises CannotBe for another."""
    if earlier := begin(walk, WalkRound, "language.chosen", act):
        return earlier
    if language not in BY_CODE:
        names = ", ".join(offered.name for offered in BRIEFED)
        raise CannotBe(_("The briefing is given in these languages: %(names)s.") % {"names": names}, "language")
    customer = walk.leg.rental.customer
    was, walk.language, customer.language = walk.language or customer.language, language, language
    walk.save(update_fields=["language"])
    customer.save(update_fields=["language"])
    act.write(
        chain=walk.leg.rental_id,
        kind="language.chosen",
        subject=walk.pk,
        payload={"walk": str(walk.pk), "language": language, "was": was},
    )
    return walk


@transaction.atomic
def approve(text: TopicText, *, read_sha256: str, act: Act) -> TopicText:
    """By a person who read both texts, `read_sha256` being what they read. Raises CannotBe when either was changed."""
    require_right(act.by, Right.SET_UP)
    if earlier := act.replayed(TopicText, chain=text.topic.station.layout_id, kind="translation.approved"):
        return earlier
    kept = _kept(text)
    if read_sha256 != kept.both_sha256:
        raise CannotBe(_("A text was changed since this page was shown. Read both again, then approve."), "read_sha256")
    kept.english_sha256 = english_sha256(kept.topic)
    kept.approved_sha256, kept.approved_by, kept.approved_at = read_sha256, act.by, act.at
    _keep(kept, "translation.approved", act)
    return kept


@transaction.atomic
def take_back(text: TopicText, *, act: Act) -> TopicText:
    """A draft again: walk-rounds that begin from now on say so. Raises CannotBe for what is no approved text."""
    require_right(act.by, Right.SET_UP)
    if earlier := act.replayed(TopicText, chain=text.topic.station.layout_id, kind="translation.taken_back"):
        return earlier
    kept = _kept(text)
    if not kept.is_approved:
        raise CannotBe(_("This is a draft already."))
    kept.approved_sha256, kept.approved_by, kept.approved_at = "", None, None
    _keep(kept, "translation.taken_back", act)
    return kept


def _kept(text: TopicText) -> TopicText:
    """Read again under the lock of the layout's chain."""
    return TopicText.objects.select_related("topic__station").get(pk=text.pk)


def _keep(text: TopicText, kind: str, act: Act) -> None:
    text.save(update_fields=["english_sha256", "approved_sha256", "approved_by", "approved_at"])
    act.write(
        chain=text.topic.station.layout_id,
        kind=kind,
        subject=text.pk,
        payload={
            "topic": text.topic.code,
            "station": text.topic.station.number,
            "language": text.language,
            "both_sha256": text.both_sha256,
        },
    )
