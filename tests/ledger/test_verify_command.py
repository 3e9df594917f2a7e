from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from shared.ledger.models import Entry
from tests.ledger.conftest import OTHER_RENTAL, RENTAL, Write
from tests.ledger.forcing import force


def verify(*arguments: str) -> tuple[int, str]:
    """Exit code and what was said."""
    out = StringIO()
    try:
        call_command("verify_ledger", *arguments, stdout=out)
    except SystemExit as exit_:
        return int(str(exit_.code)), out.getvalue()
    return 0, out.getvalue()


def test_ledger_that_holds(chain: list[Entry]) -> None:
    assert verify() == (
        0,
        "The ledger holds: 5 entries, each as it was recorded.\n"
        "No day is sealed yet: 5 entries wait for their first seal.\n",
    )


def test_forced_row_fails(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET payload = '{}' WHERE sequence = 2")
    code, said = verify()
    assert code == 1
    assert said.startswith(f"Entry 2 of chain {RENTAL}")
    assert said.endswith("The ledger does not hold: 1 found in 5 entries.\n")


def test_one_rental(chain: list[Entry], write: Write) -> None:
    write(chain=OTHER_RENTAL)
    force("UPDATE shared_entry SET payload = '{}' WHERE sequence = 2")
    assert verify("--rental", str(OTHER_RENTAL))[0] == 0
    assert verify("--rental", str(RENTAL))[0] == 1


def test_unknown_rental_does_not_hold(chain: list[Entry]) -> None:
    code, said = verify("--rental", str(OTHER_RENTAL))
    assert (code, said.splitlines()[0]) == (1, f"The ledger knows no chain {OTHER_RENTAL}.")


def test_since_a_day(chain: list[Entry]) -> None:
    force("UPDATE shared_entry SET payload = '{}' WHERE sequence = 2")
    assert verify("--since", "2126-01-01")[0] == 0
    assert verify("--since", "2026-01-01")[0] == 1


@pytest.mark.django_db
@pytest.mark.parametrize("arguments", [["--rental", "R-1"], ["--since", "yesterday"]])
def test_arguments_that_cannot_be(arguments: list[str]) -> None:
    with pytest.raises(CommandError):
        call_command("verify_ledger", *arguments)


class Terminal(StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_seen_on_a_terminal_only(chain: list[Entry], monkeypatch: pytest.MonkeyPatch) -> None:
    for screen, seen in ((Terminal(), True), (StringIO(), False)):
        monkeypatch.setattr("sys.stderr", screen)
        assert verify()[0] == 0
        assert ("5/5" in screen.getvalue()) is seen
