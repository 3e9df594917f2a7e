"""What is done to a rate card: begun as a copy or from a file, edited, published, deleted while it is a draft."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.ratecard.checking import Checked, check_cells
from handover.ratecard.flat import cells_of
from handover.rental.models import RateCard
from handover.zone import clock_at
from shared.access.roles import Right
from shared.access.scope import require
from shared.canonical import Json, digest
from shared.dates import dated


@transaction.atomic
def begin_draft(*, branch: Branch, act: Act) -> RateCard:
    """A draft that says what the newest published card says. Raises CannotBe, NotAllowed, Http404."""
    require(act.by, Right.SET_UP, branch.pk)
    if earlier := act.replayed(RateCard, chain=branch.pk, kind="rate_card.begun"):
        return earlier
    newest = RateCard.objects.filter(branch=branch, draft=False).order_by("-valid_from", "-number").first()
    card = _new(branch, act, rules=newest.rules if newest else {}, valid_from=clock_at(branch, act.at).date())
    payload: dict[str, Json] = {"number": card.number, "copied_from": newest.number if newest else None}
    act.write(chain=branch.pk, kind="rate_card.begun", subject=card.pk, payload=payload)
    return card


@transaction.atomic
def import_draft(*, branch: Branch, cells: Mapping[str, str], valid_from: date | None, note: str, act: Act) -> RateCard:
    """A draft out of cells that were checked. Raises CannotBe for the first that cannot be, NotAllowed, Http404."""
    require(act.by, Right.SET_UP, branch.pk)
    if earlier := act.replayed(RateCard, chain=branch.pk, kind="rate_card.imported"):
        return earlier
    checked = check_cells(cells, branch)
    _refuse(checked)
    today = clock_at(branch, act.at).date()
    card = _new(branch, act, rules=checked.rules, valid_from=valid_from or today, note=note)
    payload: dict[str, Json] = {"number": card.number, "rules_sha256": digest(dict(checked.rules))}
    act.write(chain=branch.pk, kind="rate_card.imported", subject=card.pk, payload=payload)
    return card


def _new(branch: Branch, act: Act, *, rules: Mapping[str, Any], valid_from: date, note: str = "") -> RateCard:
    last = RateCard.objects.filter(branch=branch).aggregate(last=Max("number"))["last"] or 0
    return RateCard.objects.create(
        id=act.key,
        branch=branch,
        number=last + 1,
        valid_from=valid_from,
        rules=dict(rules),
        note=note[:120],
        draft=True,
    )


def _refuse(checked: Checked) -> None:
    if checked.problems:
        first = checked.problems[0]
        raise CannotBe(first.sentence, first.path)


@transaction.atomic
def keep_draft(*, card: RateCard, cells: Mapping[str, str], valid_from: date, note: str, act: Act) -> RateCard:
    """What the draft says from now on; the ledger keeps each value that it said before. Raises CannotBe."""
    require(act.by, Right.SET_UP, card.branch_id)
    if earlier := act.replayed(RateCard, chain=card.branch_id, kind="rate_card.changed"):
        return earlier
    draft = _draft(card)
    checked = check_cells(cells, draft.branch)
    _refuse(checked)
    changed = _changes(draft, checked.rules, valid_from, note)
    draft.rules, draft.valid_from, draft.note = dict(checked.rules), valid_from, note
    draft.save(update_fields=["rules", "valid_from", "note"])
    if changed:
        payload: dict[str, Json] = {"number": draft.number, "changed": changed}
        act.write(chain=draft.branch_id, kind="rate_card.changed", subject=draft.pk, payload=payload)
    return draft


def _draft(card: RateCard) -> RateCard:
    """Read again under the lock of the branch's chain: somebody may have published it meanwhile."""
    kept = RateCard.objects.select_related("branch").filter(pk=card.pk).first()
    if kept is None:
        raise CannotBe(_("%(card)s was deleted meanwhile. A new draft can be begun.") % {"card": card})
    if not kept.draft:
        raise CannotBe(_("%(kept)s is published and stays as it is. A new draft can follow it.") % {"kept": kept})
    return kept


def _changes(draft: RateCard, rules: Mapping[str, Any], valid_from: date, note: str) -> dict[str, Json]:
    was = cells_of(draft.rules) | {"valid_from": draft.valid_from.isoformat(), "note": draft.note}
    now = cells_of(rules) | {"valid_from": valid_from.isoformat(), "note": note}
    paths = [path for path in {**was, **now} if was.get(path) != now.get(path)]
    return {path: {"was": was.get(path), "now": now.get(path)} for path in paths}


@transaction.atomic
def publish(*, card: RateCard, act: Act) -> RateCard:
    """The draft counts from its date on and never changes again. Raises CannotBe, NotAllowed, Http404."""
    require(act.by, Right.SET_UP, card.branch_id)
    if earlier := act.replayed(RateCard, chain=card.branch_id, kind="rate_card.published"):
        return earlier
    draft = _draft(card)
    _refuse(check_cells(cells_of(draft.rules), draft.branch))
    _check_date(draft, clock_at(draft.branch, act.at).date())
    draft.draft = False
    draft.save(update_fields=["draft"])
    payload: dict[str, Json] = {
        "number": draft.number, "valid_from": draft.valid_from.isoformat(), "rules_sha256": digest(draft.rules),
    }  # fmt: skip
    act.write(chain=draft.branch_id, kind="rate_card.published", subject=draft.pk, payload=payload)
    return draft


def _check_date(draft: RateCard, today: date) -> None:
    """A pickup that was signed keeps its card, so nothing can count from an earlier day."""
    if draft.valid_from < today:
        raise CannotBe(
            _("%(valid_from)s is past. A card counts from today or a later day on.")
            % {"valid_from": dated(draft.valid_from)},
            "valid_from",
        )
    same = RateCard.objects.filter(branch=draft.branch_id, draft=False, valid_from=draft.valid_from).first()
    if same is not None:
        raise CannotBe(_("%(same)s counts from that day already. Choose another day.") % {"same": same}, "valid_from")


@transaction.atomic
def delete_draft(*, card: RateCard, act: Act) -> None:
    """Raises CannotBe for a published card, NotAllowed, Http404."""
    require(act.by, Right.SET_UP, card.branch_id)
    if act.entry_before(chain=card.branch_id, kind="rate_card.deleted"):
        return
    draft = _draft(card)
    payload: dict[str, Json] = {"number": draft.number, "rules_sha256": digest(draft.rules)}
    act.write(chain=draft.branch_id, kind="rate_card.deleted", subject=draft.pk, payload=payload)
    draft.delete()
