"""What can fail in a yard fails at random, in the size of a test; make soak runs it for longer."""

from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.soak.rounds import soak

ROUNDS = 200
SEED = 20260814


@pytest.mark.timeout(3600)
def test_nothing_is_lost_and_nothing_doubled(playwright: Playwright, filled: Path, tmp_path: Path) -> None:
    account, day = soak(playwright, ROUNDS, seed=SEED, filled=filled, folder=tmp_path, say=lambda _: None)
    assert not day.wrong
    assert account.holds, account
    assert account.entries > ROUNDS
    assert account.photos > ROUNDS // 20
