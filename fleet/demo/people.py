"""The people of the demo, who all sign in with one password that is printed when the demo starts."""

from collections.abc import Mapping
from typing import NamedTuple

from fleet.models import Branch, Posting
from shared.access.models import Person
from shared.access.roles import Role

DEMO_PASSWORD = "level-pegging-demo"  # noqa: S105
BOTH = ("inverlark", "port-averil")


class DemoPerson(NamedTuple):
    username: str
    first_name: str
    last_name: str
    role: Role
    branches: tuple[str, ...]


PEOPLE = (
    DemoPerson("isla", "Isla", "Macrae", Role.HOST, ("inverlark",)),
    DemoPerson("callum", "Callum", "Reid", Role.RETURN_BAY, ("inverlark",)),
    DemoPerson("ida", "Ida", "Pell", Role.HOST, ("port-averil",)),
    DemoPerson("ruth", "Ruth", "Aldane", Role.MANAGER, BOTH),
    DemoPerson("maeve", "Maeve", "Corry", Role.COORDINATOR, BOTH),
    DemoPerson("anders", "Anders", "Lunde", Role.ADMINISTRATOR, BOTH),
)


def load_people(branches: Mapping[str, Branch]) -> dict[str, Person]:
    """Everyone by username. A password or role that somebody changed since stays."""
    return {who.username: _person(who, branches) for who in PEOPLE}


def _person(who: DemoPerson, branches: Mapping[str, Branch]) -> Person:
    person, made = Person.objects.get_or_create(
        username=who.username,
        defaults={
            "first_name": who.first_name,
            "last_name": who.last_name,
            "email": f"{who.username}@example.org",
            "role": who.role,
            "is_staff": who.role in {Role.COORDINATOR, Role.ADMINISTRATOR},
        },
    )
    if made:
        person.set_password(DEMO_PASSWORD)
        person.save(update_fields=["password"])
    for code in who.branches:
        Posting.objects.get_or_create(person=person, branch=branches[code])
    return person
