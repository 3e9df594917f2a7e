"""Larkmoor Campers: an invented operator with two branches and eight units, to try everything with."""
