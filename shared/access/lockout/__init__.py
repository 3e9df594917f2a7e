"""Whoever guesses passwords or second factors is told to wait: counted by django-axes, told in our own words."""
