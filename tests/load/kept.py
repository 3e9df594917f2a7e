"""python -m tests.load.kept FILE: of what a server acknowledged, how much it does not have, or has twice.

FILE: {"keys": [...], "photos": [sha256, ...]}. The last line is JSON: lost, doubled, faults of the ledger.
"""

import json
import os
import sys
from collections import Counter
from pathlib import Path


def main(words: list[str]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shared.settings")
    import django

    django.setup()
    from handover.photo.models import Photo
    from handover.tablet.models import Receipt
    from handover.walkround.models import WalkRound
    from shared.ledger.verifying import verify_chain

    told = json.loads(Path(words[0]).read_text())
    # A beginning has the key of its walk-round on every tablet, and its receipt another.
    received = {str(key) for key in Receipt.objects.values_list("key", flat=True)}
    received |= {str(walk) for walk in Receipt.objects.filter(kind="begin").values_list("walk_id", flat=True)}
    numbers = Counter(Receipt.objects.exclude(seq=None).values_list("device", "seq"))
    photos = Counter(Photo.objects.values_list("sent_sha256", flat=True))
    lost = sum(key not in received for key in told["keys"]) + sum(not photos[sha] for sha in told["photos"])
    doubled = sum(count > 1 for count in numbers.values()) + sum(photos[sha] > 1 for sha in told["photos"])
    rentals = WalkRound.objects.filter(pk__in=Receipt.objects.values("walk_id")).values_list(
        "leg__rental_id", flat=True
    )
    # Of the rentals that were driven: a simulated history is not in the ledger.
    faults = sum(1 for rental in rentals for _problem in verify_chain(rental))
    print(json.dumps({"lost": lost, "doubled": doubled, "faults of the ledger": faults}))  # noqa: T201


if __name__ == "__main__":
    main(sys.argv[1:])
