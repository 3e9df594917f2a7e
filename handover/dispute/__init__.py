"""Disputes: a line of a statement that somebody contests, what speaks for and against it, and how it was decided."""
