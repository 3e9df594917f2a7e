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
    from handover.record.models import Record
    from handover.rental.models import Rental
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
    kept = Photo.objects.filter(sent_sha256__in=told["photos"]).values_list("original", "kept_sha256")
    gone = sum(not _is_whole(name, sha) for name, sha in kept)
    rentals = WalkRound.objects.filter(pk__in=Receipt.objects.values("walk_id")).values_list(
        "leg__rental_id", flat=True
    )
    # Of the rentals that were driven: a simulated history is not in the ledger.
    faults = sum(1 for rental in rentals for _problem in verify_chain(rental))
    records = Counter(
        Record.objects.filter(rental__in=rentals, kind="pickup", state="ready").values_list("rental_id", flat=True)
    )
    signed = set(Rental.objects.filter(pk__in=rentals, state="out").values_list("pk", flat=True))
    unmade = len(signed ^ set(records)) + sum(count > 1 for count in records.values())
    said = {"lost": lost, "doubled": doubled, "photos whose bytes are gone": gone, "records not made once": unmade,
            "faults of the ledger": faults}  # fmt: skip
    sys.stdout.write(json.dumps(said))


def _is_whole(name: str, sha: str) -> bool:
    from shared.canonical import sha256_hex
    from shared.files.store import read

    try:
        return sha256_hex(read(name)) == sha
    except OSError:
        return False


if __name__ == "__main__":
    main(sys.argv[1:])
