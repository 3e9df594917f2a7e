"""The rounds: change, look, take back, look again."""

import random
from collections import Counter

from tqdm import tqdm

from shared.ledger.verifying import missing_triggers
from tests.tamper import checks, history
from tests.tamper.checks import Check, says
from tests.tamper.guards import unguarded
from tests.tamper.mutations import WAYS, Done, NotPossible, Places, byte_flipped, undone
from tests.tamper.places import places, unstated

ALL_CHECKS_EVERY = 500
AGAIN_EVERY = 4
FILES = 0.2


class Rounds:
    """What was tried and what was missed, by kind; `places` are the columns that were changed."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.tried: Counter[str] = Counter()
        self.missed: Counter[str] = Counter()
        self.places: Counter[str] = Counter()
        self.missed_where: list[str] = []
        self.false_alarms: list[str] = []
        self.untouched = 0

    def run(self, rounds: int, *, label: str) -> None:
        history.build()
        self._untouched(checks.everything)
        if self.false_alarms or unstated():
            raise SystemExit("\n".join(["The history does not hold before anything is changed.", *self.false_alarms]))
        with unguarded():
            self._rounds(rounds, label=label)
        self._untouched(checks.everything)
        self._untouched(missing_triggers)

    def _rounds(self, rounds: int, *, label: str) -> None:
        """That the triggers are missing is itself an alarm."""
        if not list(missing_triggers()):
            raise SystemExit("Nobody misses the triggers.")
        names, records = checks.files(), checks.records()
        found = places()
        for number in tqdm(range(1, rounds + 1), desc=label, unit="change", mininterval=10):
            thorough = number % ALL_CHECKS_EVERY == 0
            if self.rng.random() < FILES:
                check = self._file(self.rng.choice(records if self.rng.random() < 0.3 else names), thorough=thorough)
            else:
                check = self._row(found, thorough=thorough)
            if thorough or number % AGAIN_EVERY == 0:
                self._untouched(checks.everything if thorough else check)

    def _row(self, found: Places, *, thorough: bool) -> Check:
        done = None
        while done is None:
            way = self.rng.choices([way for way, _ in WAYS], [weight for _, weight in WAYS])[0]
            with undone():
                try:
                    done = way(found, self.rng)
                except NotPossible:
                    continue
                self._look(done, thorough=thorough)
        return done.check

    def _file(self, name: str, *, thorough: bool) -> Check:
        kind = "byte of a record" if name.endswith(".pdf") else "byte of a photo"
        with byte_flipped(name, self.rng) as path:
            self._look(Done(kind, name, checks.of_file(name)), thorough=thorough)
            if name.endswith(".pdf"):
                self._look(Done(f"{kind}, by its seal alone", name, checks.of_record(str(path))), thorough=False)
        return checks.of_file(name)

    def _look(self, done: Done, *, thorough: bool) -> None:
        self.tried[done.what] += 1
        self.places[done.where] += 1 if done.what == "column changed" else 0
        seen = says(done.check) and (not thorough or says(checks.everything))
        if not seen:
            self.missed[done.what] += 1
            self.missed_where.append(f"{done.what}: {done.where}")

    def _untouched(self, check: Check) -> None:
        self.untouched += 1
        self.false_alarms.extend(check())
