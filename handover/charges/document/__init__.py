"""The pricing document: what it may hold, how it is read, why it is refused."""
