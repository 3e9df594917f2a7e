"""What pages cost in this database, as JSON: {page: [median seconds, queries]}. growth.py asks, each in its process."""

import json
import os
import statistics
import time
from collections.abc import Iterator

ASKED = 15

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
os.environ.setdefault("LEVELPEG_DEBUG", "1")

import django  # noqa: E402

django.setup()

from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402
from django.urls import reverse  # noqa: E402
from django.utils import timezone  # noqa: E402

from handover.dispute.models import Dispute  # noqa: E402
from handover.rental.models import Rental  # noqa: E402
from shared.access.models import Person  # noqa: E402


def addresses() -> Iterator[tuple[str, str]]:
    """Of the first rental, and of a copy from the middle of the history at the same branch."""
    first = Rental.objects.get(number="LK-20418")
    search = f"{reverse('search')}?q="
    yield "day board", reverse("day-board", args=[first.branch.code, timezone.localdate()])
    yield "disputes", reverse("disputes", args=[first.branch.code])
    copies = Rental.objects.filter(branch=first.branch, disputes__isnull=False).exclude(pk=first.pk)
    copies = copies.order_by("planned_out_at")
    for name, rental in (("", first), (" of a copy", copies[copies.count() // 2])):
        walk = rental.legs.earliest("number").walk_rounds.get(kind="pickup")
        yield f"rental{name}", reverse("rental", args=[rental.pk])
        yield f"station{name}", reverse("station", args=[walk.pk, 6])
        yield f"statement{name}", reverse("statement", args=[rental.pk])
        yield f"dispute{name}", reverse("dispute", args=[Dispute.objects.filter(rental=rental).earliest("pk").pk])
        yield f"search: number{name}", search + rental.number
        yield f"search: name{name}", search + rental.customer.name.replace(" ", "+")
        yield f"search: plate{name}", search + rental.legs.earliest("number").unit.plate.replace(" ", "+")
        yield f"search: day{name}", search + rental.planned_out_at.date().isoformat()
    yield "search: phrase", search + "kerb+side+door"


def cost(client: Client, address: str) -> tuple[float, int]:
    times = []
    for _ in range(ASKED):
        began = time.perf_counter()
        answer = client.get(address, secure=True)
        times.append(time.perf_counter() - began)
        assert answer.status_code == 200, (address, answer.status_code)
    with CaptureQueriesContext(connection) as queries:
        client.get(address, secure=True)
    return statistics.median(times), len(queries)


def main() -> None:
    client = Client(HTTP_HOST="localhost")
    client.force_login(Person.objects.get(username="ruth"))
    print(json.dumps({name: cost(client, address) for name, address in addresses()}))  # noqa: T201


main()
