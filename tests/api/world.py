"""One row of everything that the API answers about, and for each operation how it is asked."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from handover.api.models import ApiToken
from handover.api.schema import openapi, operations_by_id, scope_of
from handover.api.scopes import Scope
from handover.record.models import Record
from handover.rental.models import Rental
from handover.statement.models import Statement
from tests.api.made import HOOK, Program, a_webhook
from tests.factories import NINE

RESULT = '{"totals":{"total":"0.00"},"lines":[],"workings":[],"findings":[]}'


@dataclass(frozen=True, slots=True)
class Operation:
    """`path` with its places open: /rentals/{rental_id}."""

    id: str
    method: str
    path: str
    scope: Scope


def every_operation() -> list[Operation]:
    """From the description itself, so that none is left out."""
    scopes = {name: scope_of(operation) for name, operation in operations_by_id().items()}
    return [
        Operation(name := said["operationId"], method.upper(), path.removeprefix("/api/v1"), scopes[name])
        for path, methods in openapi()["paths"].items()
        for method, said in methods.items()
    ]  # fmt: skip


def a_world(rental: Rental, token: ApiToken) -> Mapping[str, UUID]:
    """The ids that stand in addresses; all are Inverlark's, the webhook is the token's."""
    leg = rental.legs.get()
    statement = Statement.objects.create(
        rental=rental, version=1, inputs='{"tax":{"mode":"inclusive"}}', result=RESULT, rules_version="1",
        digest="2" * 64, total=0, currency="GBP", drawn_up_at=NINE, drawn_up_by=token.made_by,
    )  # fmt: skip
    record = Record.objects.create(rental=rental, leg=leg, kind="pickup", code="7Q4M-2KXD", made_at=NINE)
    return {
        "rental_id": rental.pk,
        "unit_id": leg.unit_id,
        "statement_id": statement.pk,
        "record_id": record.pk,
        "webhook_id": a_webhook(token)[0].pk,
    }


QUERIES = {
    "get_availability": "?branch=inverlark&out_at=2026-08-14T09:00:00Z&back_at=2026-08-18T10:00:00Z",
    "export_settlements": "?branch=inverlark&from=2026-08-01&to=2026-08-31",
}


def bodies(booking: Mapping[str, Any]) -> Mapping[str, Any]:
    return {
        "enter_booking": booking,
        "enter_bookings": {"bookings": [{**booking, "key": "row-1"}]},
        "change_booking": {"charged_days": 5},
        "report_reading": {"at": "2026-08-14T09:00:00Z", "odometer_km": "67001"},
        "make_webhook": {"url": HOOK, "kinds": ["rental.booked"]},
        "change_webhook": {"url": HOOK, "kinds": ["rental.returned"]},
    }


def ask(program: Program, operation: Operation, world: Mapping[str, UUID], booking: Mapping[str, Any]) -> Any:
    path = operation.path.format(**world) + QUERIES.get(operation.id, "")
    if operation.method == "GET":
        return program.get(path)
    headers = {"idempotency_key": "key-of-the-matrix", "if_match": "*"}
    return program.send(operation.method, path, bodies(booking).get(operation.id, {}), **headers)
