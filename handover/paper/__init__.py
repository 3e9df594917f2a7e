"""A day without power: numbered sheets of paper, keyed in afterwards, and what became of each number."""
