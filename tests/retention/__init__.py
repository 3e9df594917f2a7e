"""Retention: what goes when, what is held, what is left."""
