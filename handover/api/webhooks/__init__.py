"""Telling other programs what happened: found in the ledger, signed, sent, and sent again until it is taken."""
