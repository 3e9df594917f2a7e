"""What the pages of a walk-round show: built from its sheet and its answers, without a query of their own."""
