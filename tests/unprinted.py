"""Papers that are kept without being drawn, for tests of what is done with them: drawing one takes seconds."""

import pytest


@pytest.fixture
def record_unprinted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Records are made, kept and noted in the ledger; their pages are not drawn and not sealed."""
    monkeypatch.setattr("handover.record.actions.sealed_pdf", lambda record: (b"%PDF-1.7 of a Record", b"{}"))


@pytest.fixture
def letter_unprinted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters about a decision are made, kept and sent; their pages are not drawn."""
    monkeypatch.setattr("handover.dispute.actions.letting_know.letter_pdf", lambda facts: b"%PDF-1.7 of a letter")
