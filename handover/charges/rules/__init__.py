"""One module per rule: each takes the case and the sheet so far, and returns the next sheet."""
