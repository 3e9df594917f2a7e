"""Why an e-mail did not go, in words that may be kept for longer than the address it was for."""

import re


def not_taken(fault: Exception, address: str) -> str:
    """What the mail server said, 300 characters at most, without the address: that is erased when its time comes."""
    plain = re.sub(re.escape(address), "…", " ".join(str(fault).split()), flags=re.IGNORECASE)
    return f"The e-mail was not taken: {type(fault).__name__}, {plain}"[:300] if plain else type(fault).__name__
