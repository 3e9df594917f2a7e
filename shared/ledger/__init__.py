"""The ledger: one append-only table, one hash chain per rental, verifiable by anyone with ordinary tools."""
