"""Merkle trees as RFC 9162, section 2.1, has them, with SHA-256. Pure: bytes in, bytes out.

A leaf is any bytes; the hash of a tree and every part of a proof are 32 bytes. Sizes and positions count leaves,
positions from 0.
"""

from collections.abc import Sequence
from hashlib import sha256


def leaf_hash(leaf: bytes) -> bytes:
    return sha256(b"\x00" + leaf).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    return sha256(b"\x01" + left + right).digest()


def root(leaves: Sequence[bytes]) -> bytes:
    """The hash of the tree; of no leaves at all that of the empty text (section 2.1.1)."""
    if len(leaves) <= 1:
        return leaf_hash(leaves[0]) if leaves else sha256(b"").digest()
    split = _split(len(leaves))
    return node_hash(root(leaves[:split]), root(leaves[split:]))


def inclusion_proof(leaves: Sequence[bytes], position: int) -> list[bytes]:
    """What a leaf needs beside it to come to the root, the nearest first (2.1.3.1). Raises IndexError."""
    if not 0 <= position < len(leaves):
        raise IndexError(f"There is no leaf {position} among {len(leaves)}.")
    if len(leaves) == 1:
        return []
    split = _split(len(leaves))
    if position < split:
        return [*inclusion_proof(leaves[:split], position), root(leaves[split:])]
    return [*inclusion_proof(leaves[split:], position - split), root(leaves[:split])]


def consistency_proof(leaves: Sequence[bytes], earlier: int) -> list[bytes]:
    """That the first `earlier` leaves are the tree that was there before (2.1.4.1). Raises IndexError."""
    if not 0 < earlier <= len(leaves):
        raise IndexError(f"A tree of {len(leaves)} leaves has no earlier tree of {earlier}.")
    return _subproof(leaves, earlier, whole=True)


def is_included(leaf: bytes, position: int, size: int, proof: Sequence[bytes], tree: bytes) -> bool:
    """Whether the leaf stands at this position of the tree of this size and hash (2.1.3.2)."""
    if not 0 <= position < size:
        return False
    at, last, reached = position, size - 1, leaf_hash(leaf)
    for part in proof:
        if last == 0:
            return False
        if at & 1 or at == last:
            reached = node_hash(part, reached)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            reached = node_hash(reached, part)
        at, last = at >> 1, last >> 1
    return last == 0 and reached == tree


def is_consistent(earlier: int, size: int, proof: Sequence[bytes], before: bytes, tree: bytes) -> bool:
    """Whether the tree of this size and hash begins with the earlier one (2.1.4.2)."""
    if not 0 < earlier <= size:
        return False
    if earlier == size:
        return not proof and before == tree
    parts = [before, *proof] if earlier & (earlier - 1) == 0 else list(proof)
    if not parts:
        return False
    at, last = earlier - 1, size - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    old = new = parts[0]
    for part in parts[1:]:
        if last == 0:
            return False
        if at & 1 or at == last:
            old, new = node_hash(part, old), node_hash(part, new)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            new = node_hash(new, part)
        at, last = at >> 1, last >> 1
    return last == 0 and old == before and new == tree


def _subproof(leaves: Sequence[bytes], earlier: int, *, whole: bool) -> list[bytes]:
    """SUBPROOF of the RFC; `whole`: the earlier tree is known to whoever checks."""
    if earlier == len(leaves):
        return [] if whole else [root(leaves)]
    split = _split(len(leaves))
    if earlier <= split:
        return [*_subproof(leaves[:split], earlier, whole=whole), root(leaves[split:])]
    return [*_subproof(leaves[split:], earlier - split, whole=False), root(leaves[:split])]


def _split(size: int) -> int:
    """The largest power of two below the size."""
    return 1 << (size - 1).bit_length() - 1
