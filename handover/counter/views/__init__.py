"""Pages of the counter: one line and what can be done about it, what was found, reading again, opening again."""
