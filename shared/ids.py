"""Keys that a client can make by itself: UUID version 7, ordered by time."""

import secrets
import time
import uuid


def uuid7() -> uuid.UUID:
    """A new UUID version 7 (RFC 9562, section 5.7): 48 bits of Unix milliseconds, then 74 random bits."""
    milliseconds = time.time_ns() // 1_000_000
    bits = milliseconds << 80 | secrets.randbits(80)
    bits = bits & ~(0xF << 76) | 0x7 << 76
    bits = bits & ~(0x3 << 62) | 0x2 << 62
    return uuid.UUID(int=bits)
