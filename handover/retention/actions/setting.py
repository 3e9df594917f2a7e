"""How long a branch keeps each kind of data."""

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _

from fleet.models import Branch
from handover.acting import Act, CannotBe
from handover.retention.judging import terms_of
from handover.retention.kinds import MOST_DAYS, Kind
from handover.retention.models import RetentionTerm
from handover.retention.words import NAMES
from shared.access.roles import Right
from shared.access.scope import require

SET = "retention.terms_set"


@transaction.atomic
def set_terms(branch: Branch, days: Mapping[Kind, str], *, act: Act) -> Mapping[Kind, int]:
    """Keep what was typed for each kind, as whole days. Raises CannotBe at the kind whose days cannot be."""
    require(act.by, Right.PEOPLE, branch.pk)
    if act.entry_before(chain=branch.pk, kind=SET):
        return terms_of([branch.pk])[branch.pk]
    before = terms_of([branch.pk])[branch.pk]
    changed = {kind: value for kind, text in days.items() if (value := _days(kind, text)) != before[kind]}
    for kind, value in changed.items():
        row = RetentionTerm.objects.filter(branch=branch, kind=kind.value).first()
        row = row or RetentionTerm(branch=branch, kind=kind.value)
        row.days = value
        row.save()
    if changed:
        told = {kind.value: {"was": before[kind], "now": value} for kind, value in changed.items()}
        act.write(chain=branch.pk, kind=SET, subject=branch.pk, payload={"days": dict(told)})
    return {**before, **changed}


def _days(kind: Kind, text: str) -> int:
    typed = text.strip()
    if not (typed.isascii() and typed.isdecimal()) or not 1 <= int(typed[:9]) <= MOST_DAYS:
        raise CannotBe(
            _("%(kind)s: “%(text)s” is no number of days. Write 1 to %(most)s; nothing was changed.")
            % {"kind": NAMES[kind], "text": typed[:20], "most": MOST_DAYS},
            kind.value,
        )
    return int(typed[:9])
