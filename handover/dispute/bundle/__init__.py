"""Everything of a dispute in one file that can be checked with ordinary tools."""
