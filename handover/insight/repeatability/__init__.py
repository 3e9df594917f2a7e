"""How well two people read the same thing: the pairs, and the spread they give."""
