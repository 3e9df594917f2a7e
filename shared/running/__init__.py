"""Running it for real: what is well and what is not, how long since, and in which words that is told."""
