"""Pages of a walk-round: one address and one view for each act."""
