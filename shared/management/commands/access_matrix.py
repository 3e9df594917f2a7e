"""Prints who comes to which address: python manage.py access_matrix [--json]."""

import json
from collections.abc import Iterator
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from shared.access.gate import addresses
from shared.access.matrix import DESK_OF_SETTING_UP, Access, Door, access_to
from shared.access.roles import Role

SHORT = {
    Role.HOST: "host", Role.RETURN_BAY: "bay", Role.MANAGER: "mgr", Role.COORDINATOR: "coord",
    Role.ADMINISTRATOR: "admin",
}  # fmt: skip
OUTSIDE = (Door.PUBLIC, Door.LINK, Door.TOKEN)


class Command(BaseCommand):
    help = "Who comes to which address: each role at an own and at another branch, nobody, a customer's link, a token."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--json", action="store_true", help="as JSON, one object an address")

    def handle(self, *args: Any, **options: Any) -> None:
        rows = list(rows_of())
        if options["json"]:
            self.stdout.write(json.dumps(rows, indent=2))
            return
        for line in lines(rows):
            self.stdout.write(line)


def rows_of() -> Iterator[dict[str, Any]]:
    """One an address, in the order of the names. The desk's pages are listed with what gets to the desk at all."""
    for address in sorted(addresses(), key=lambda found: (found.name.startswith(DESK_OF_SETTING_UP), found.name)):
        access = access_to(address.name, address.route)
        if access is not None:
            yield {"name": address.name, "path": f"/{address.route}", **cells(access)}


def cells(access: Access) -> dict[str, Any]:
    """Through (True) or not, of each role at a branch of their own and at another; and for who is not signed in."""
    lets_in = {role: access.lets_in(role) for role in Role}
    return {
        "door": access.door.value,
        "rights": sorted(access.rights),
        "own": {role.value: lets_in[role] for role in Role},
        "other": {role.value: lets_in[role] and access.reach == access.reach.ALL for role in Role},
        **{door.value: access.door == door for door in OUTSIDE},
    }


def lines(rows: list[dict[str, Any]]) -> Iterator[str]:
    """● at an own branch alone, ○ everywhere, · not."""
    name, path = (max(len(row[key]) for row in rows) for key in ("name", "path"))
    heads = [*SHORT.values(), *(door.value for door in OUTSIDE)]
    yield f"{'name':{name}}  {'path':{path}}  {'  '.join(f'{head:>5}' for head in heads)}  rights (any of)"
    for row in rows:
        marks = [_mark(row, role.value) for role in SHORT] + ["○" if row[door.value] else "·" for door in OUTSIDE]
        words = ", ".join(row["rights"]) or row["door"]
        yield f"{row['name']:{name}}  {row['path']:{path}}  {'  '.join(f'{mark:>5}' for mark in marks)}  {words}"
    yield ""
    yield f"{len(rows)} addresses. ● own branches, ○ everywhere, · not."


def _mark(row: dict[str, Any], role: str) -> str:
    if not row["own"][role]:
        return "·"
    return "○" if row["other"][role] else "●"
