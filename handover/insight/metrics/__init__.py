"""The metrics, by what they are about. Each is a function from what is asked to a table."""
