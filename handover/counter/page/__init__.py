"""What the counter's own pages show, each in a fixed number of queries."""
