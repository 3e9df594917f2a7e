"""The two programs that README prints, run as they stand there, against the product itself."""

import json
import re
import socket
import subprocess
import sys
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import IO, Any
from wsgiref.simple_server import WSGIRequestHandler, make_server

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import override_settings
from django.utils import timezone

from handover.api.models import ApiToken
from handover.api.webhooks.models import Webhook
from handover.api.webhooks.sending import post
from handover.api.webhooks.signing import HEADER, signature
from handover.rental.models import Rental
from handover.settlement.standing import SETTLED
from handover.statement.models import Statement
from shared.ids import uuid7
from shared.ledger.writing import append
from shared.wsgi import application
from tests.api.made import a_delivery, a_webhook
from tests.factories import BACK_AT, UnitFactory

SECTION = (Path(settings.BASE_DIR) / "README.md").read_text().partition("## Joining another system")[2]
CLIENT, LISTENER = re.findall(r"```python\n(.*?)```", SECTION, re.S)[:2]


class Quiet(WSGIRequestHandler):
    def log_message(self, *_args: Any) -> None:
        """Says nothing."""


def served(program: str, *words: str) -> str:
    """What the program prints, while this test answers it: from this thread, which has the database."""
    with make_server("127.0.0.1", 0, application, handler_class=Quiet) as server:
        server.timeout = 0.05
        site = f"http://127.0.0.1:{server.server_port}"
        asked = [sys.executable, "-I", "-c", program, site, *words]
        running = subprocess.Popen(asked, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        while running.poll() is None:
            server.handle_request()
        said = running.communicate()[0]
    assert running.returncode == 0, said
    return said


@pytest.fixture
def settled(booked: Rental, token: ApiToken) -> Statement:
    step = {"label": "as read", "source": "", "kind": "figure"}
    litres, price = {"sign": "", "quantity": "31.5", "unit": "L"}, {"sign": "×", "quantity": "1.62", "unit": "GBP/L"}
    steps = [litres | step, price | step]
    line = {"code": "FUEL", "ref": "407", "raw": "51.03", "covered": "0.00", "amount": "51.03", "tax_code": "standard"}
    workings = {"code": "FUEL", "ref": "407", "measure": "31.5 L short", "steps": steps, "cover": []}
    result = {"totals": {"total": "51.03"}, "lines": [line | {"tax": "8.51"}], "workings": [workings], "findings": []}
    row = Statement.objects.create(
        rental=booked, version=1, inputs="{}", result=json.dumps(result), rules_version="1", digest="2" * 64,
        total="51.03", currency="GBP", drawn_up_at=BACK_AT, drawn_up_by=token.made_by,
    )  # fmt: skip
    append(
        chain=booked.pk, kind=SETTLED, payload={}, by=token.made_by, key=uuid7(), happened_at=BACK_AT, subject=row.pk
    )  # fmt: skip
    return row


@pytest.mark.usefixtures("served_here")
def test_the_client_books_once_and_reads_a_statement(made: tuple[ApiToken, str], settled: Statement):
    UnitFactory(number="305")
    said = served(CLIENT, made[1])
    rental = Rental.objects.exclude(pk=settled.rental_id).get()
    assert said.splitlines() == [
        f"booked {rental.number} on unit {rental.legs.get().unit.number}",
        f"statement {settled.rental.number} 51.03 GBP",
        "  Fuel 51.03: 31.5 L × 1.62 GBP/L",
    ]
    assert rental.deposit_held == 500


@pytest.fixture
def port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return int(taken.getsockname()[1])


@pytest.fixture
def webhook(token: ApiToken, port: int) -> Iterator[tuple[Webhook, str]]:
    with override_settings(WEBHOOKS_TO_LOOPBACK=True):
        yield a_webhook(token, url=f"http://127.0.0.1:{port}/")


def _answers(port: int) -> bool:
    with socket.socket() as door:
        return door.connect_ex(("127.0.0.1", port)) == 0


@pytest.fixture
def listener(webhook: tuple[Webhook, str], port: int) -> Iterator[IO[str]]:
    """What the program of README prints, which listens with the secret."""
    program = [sys.executable, "-I", "-c", LISTENER, str(port), webhook[1]]
    with subprocess.Popen(program, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as running:
        while not _answers(port):
            assert running.poll() is None
        assert running.stdout
        yield running.stdout
        running.terminate()


def test_the_listener_believes_what_is_signed(webhook: tuple[Webhook, str], listener: IO[str], booked: Rental):
    delivery = a_delivery(webhook[0], booked)
    call_command("deliver_webhooks")
    delivery.refresh_from_db()
    assert (delivery.state, delivery.answer_code) == ("taken", 204)
    assert listener.readline() == f"rental.booked {booked.number}\n"


@pytest.mark.parametrize("header", ["", "at=1,sha256=00", "at=1786874400,sha256=" + "0" * 64, "nonsense"])
def test_the_listener_believes_nothing_else(listener: IO[str], port: int, header: str):
    answered = post(f"http://127.0.0.1:{port}/", b"{}", {HEADER: header})
    assert answered.code == 401
    assert listener.readline() == "not signed\n"


def test_the_listener_believes_nothing_old(webhook: tuple[Webhook, str], listener: IO[str], port: int):
    """Overheard and sent again ten minutes later."""
    then = timezone.now() - timedelta(minutes=10)
    assert post(f"http://127.0.0.1:{port}/", b"{}", {HEADER: signature(webhook[1], b"{}", at=then)}).code == 401
