class Malformed(ValueError):
    """The file does not hold to its format."""
