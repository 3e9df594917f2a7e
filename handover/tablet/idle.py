"""After how many minutes without a touch a tablet asks who is there: the shortest of the person's branches."""

from fleet.models import Branch
from shared.access.models import Person


def idle_minutes_of(person: Person | None) -> int:
    """0: never, and while nobody is signed in."""
    if person is None:
        return 0
    said = Branch.objects.filter(pk__in=person.branch_ids, idle_minutes__gt=0).values_list("idle_minutes", flat=True)
    return min(said, default=0)
