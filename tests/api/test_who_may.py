"""Every operation against every token: none, of another scope, of another branch, expired, revoked, and its own."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from fleet.models import Branch, Unit
from handover.api.models import ApiToken
from handover.api.scopes import Scope
from handover.rental.models import Rental
from shared.access.models import Person
from tests.api.made import EVERY, Program, a_token
from tests.api.world import Operation, a_world, ask, every_operation

OPERATIONS = every_operation()
LISTS = {"list_rentals", "list_units", "list_statements", "list_records", "list_movements", "list_webhooks"}
OF_NO_ROW = LISTS | {"enter_booking", "enter_bookings", "make_webhook"}
NOT_MADE_YET = {"get_record_pdf"}


@pytest.fixture(params=OPERATIONS, ids=lambda operation: operation.id)
def operation(request: pytest.FixtureRequest) -> Operation:
    return request.param  # type: ignore[no-any-return]


@pytest.fixture
def world(booked: Rental, token: ApiToken) -> Mapping[str, UUID]:
    return a_world(booked, token)


@pytest.fixture
def free(booking: dict[str, Any]) -> dict[str, Any]:
    """In another time than the booking that is there."""
    return booking | {"planned_out_at": "2026-09-01T10:00:00Z", "planned_back_at": "2026-09-05T10:00:00Z"}


def status(program: Program, operation: Operation, world: Mapping[str, UUID], booking: dict[str, Any]) -> int:
    answer = ask(program, operation, world, booking)
    if answer.status_code >= 400:
        assert answer["Content-Type"] == "application/problem+json"
        assert answer.json()["status"] == answer.status_code
    return answer.status_code  # type: ignore[no-any-return]


def test_its_own_comes_through(operation: Operation, world: Any, free: Any, made: Any):
    """With the one scope it asks for, and no other."""
    ApiToken.objects.update(scopes=[operation.scope.value])
    wanted = {404} if operation.id in NOT_MADE_YET else {200, 201, 204}
    assert status(Program(made[1]), operation, world, free) in wanted


def test_without_a_token(operation: Operation, world: Any, free: Any):
    answer = ask(Program(), operation, world, free)
    assert (answer.status_code, answer["WWW-Authenticate"]) == (401, 'Bearer realm="levelpeg"')


@pytest.mark.parametrize("shown", ["lp_", "x", "lp_" + "A" * 22 + "_" + "B" * 43, "lp_" + "é" * 66])
def test_with_what_is_no_token(shown: str, token: ApiToken):
    program = Program()
    program.headers = {"Authorization": f"Bearer {shown}"}
    assert program.get("/rentals").status_code == 401


def test_signed_in_is_not_enough(operation: Operation, world: Any, free: Any, ruth: Person):
    program = Program()
    program.client.force_login(ruth)
    assert status(program, operation, world, free) == 401


def test_of_every_other_scope(operation: Operation, world: Any, free: Any, made: Any):
    ApiToken.objects.update(scopes=[scope for scope in EVERY if scope != operation.scope])
    assert status(Program(made[1]), operation, world, free) == 403


def test_expired(operation: Operation, world: Any, free: Any, made: Any):
    now = timezone.now()
    ApiToken.objects.update(made_at=now - timedelta(days=2), expires_at=now - timedelta(seconds=1))
    assert status(Program(made[1]), operation, world, free) == 401


def test_revoked(operation: Operation, world: Any, free: Any, made: Any):
    ApiToken.objects.update(revoked_at=timezone.now(), revoked_by=made[0].made_by)
    assert status(Program(made[1]), operation, world, free) == 401


def test_of_another_branch(operation: Operation, world: Any, free: Any, port_averil: Branch, unit_407: Unit):
    """Rows are not there, lists are empty, and nothing is written at Inverlark."""
    program = Program(a_token(port_averil)[1])
    before = Rental.objects.count()
    answer = ask(program, operation, world, free)
    if operation.id in LISTS:
        assert answer.json()["items"] == []
    elif operation.id == "enter_bookings":
        assert answer.json()["results"][0]["pointer"] == "/branch"
    elif operation.id == "enter_booking":
        assert answer.status_code == 422
    elif operation.id not in OF_NO_ROW:
        assert answer.status_code == 404
    assert Rental.objects.count() == before


def test_the_list_of_those_without_a_row_is_whole():
    assert {operation.id for operation in OPERATIONS} >= OF_NO_ROW
    assert len(OPERATIONS) == 26
    assert {operation.scope for operation in OPERATIONS} == set(Scope)


def test_a_service_person_signs_in_nowhere(token: ApiToken):
    """Neither by password, nor where an administrator reads the table of people as Django does."""
    assert not token.service.has_usable_password()
    assert not token.service.is_active
    assert not Person.objects.get(pk=token.service_id).may("see")  # type: ignore[arg-type]
