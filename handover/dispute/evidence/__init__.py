"""What speaks for and against a disputed line, gathered by itself from the rows and the ledger."""
