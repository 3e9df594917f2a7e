"""The Merkle tree against the eight leaves that tests of Certificate Transparency (RFC 6962) are written with.

The leaves, the roots of their trees and the proofs stand in the tests of the public transparency-log implementations;
here they are from memory. The hash of the empty tree is that of RFC 9162, section 2.1.1 (SHA-256 of nothing).
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.ledger.merkle import consistency_proof, inclusion_proof, is_consistent, is_included, leaf_hash, root

pytestmark = [pytest.mark.reference, pytest.mark.source("RFC 9162 section 2.1", "RFC 6962 test vectors, from memory")]

LEAVES = [
    bytes.fromhex(text)
    for text in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip
ROOTS = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
INCLUSION = {  # (leaf from 0, size): proof
    (0, 1): [],
    (0, 8): [
        "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
    ],
    (5, 8): [
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    ],
    (2, 3): ["fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"],
    (1, 5): [
        "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    ],
}
CONSISTENCY = {  # (earlier size, size): proof
    (1, 1): [],
    (1, 8): [
        "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
    ],
    (6, 8): [
        "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
        "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    ],
    (2, 5): [
        "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
        "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
    ],
}


def hexed(proof: list[bytes]) -> list[str]:
    return [part.hex() for part in proof]


def test_the_tree_of_nothing() -> None:
    assert root([]).hex() == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


@pytest.mark.parametrize("size", range(1, 9))
def test_roots(size: int) -> None:
    assert root(LEAVES[:size]).hex() == ROOTS[size - 1]


@pytest.mark.parametrize("where", INCLUSION)
def test_inclusion_proofs(where: tuple[int, int]) -> None:
    position, size = where
    assert hexed(inclusion_proof(LEAVES[:size], position)) == INCLUSION[where]


@pytest.mark.parametrize("sizes", CONSISTENCY)
def test_consistency_proofs(sizes: tuple[int, int]) -> None:
    earlier, size = sizes
    assert hexed(consistency_proof(LEAVES[:size], earlier)) == CONSISTENCY[sizes]


leaves = st.lists(st.binary(max_size=40), min_size=1, max_size=70)


@given(leaves, st.data())
def test_every_leaf_is_proved(given_leaves: list[bytes], data: st.DataObject) -> None:
    position = data.draw(st.integers(0, len(given_leaves) - 1))
    proof = inclusion_proof(given_leaves, position)
    assert is_included(given_leaves[position], position, len(given_leaves), proof, root(given_leaves))


@given(leaves, st.data())
def test_every_earlier_tree_is_proved(given_leaves: list[bytes], data: st.DataObject) -> None:
    earlier = data.draw(st.integers(1, len(given_leaves)))
    proof = consistency_proof(given_leaves, earlier)
    before, tree = root(given_leaves[:earlier]), root(given_leaves)
    assert is_consistent(earlier, len(given_leaves), proof, before, tree)


def altered(data: st.DataObject, proof: list[bytes]) -> list[bytes]:
    """A proof with a bit flipped, a part gone, or one too many."""
    ways = ["longer"] + ["flipped", "shorter"] * bool(proof)
    way = data.draw(st.sampled_from(ways))
    if way == "longer":
        return [*proof, leaf_hash(b"")]
    at = data.draw(st.integers(0, len(proof) - 1))
    bit = bytes([proof[at][0] ^ 1]) + proof[at][1:]
    return [*proof[:at], *([bit] if way == "flipped" else []), *proof[at + 1 :]]


@given(leaves, st.data())
def test_an_altered_inclusion_proof_is_refused(given_leaves: list[bytes], data: st.DataObject) -> None:
    position, size, tree = data.draw(st.integers(0, len(given_leaves) - 1)), len(given_leaves), root(given_leaves)
    proof, leaf = inclusion_proof(given_leaves, position), given_leaves[position]
    assert not is_included(leaf, position, size, altered(data, proof), tree)
    assert not is_included(leaf + b"x", position, size, proof, tree)
    assert not is_included(leaf, position, size, proof, leaf_hash(tree))
    assert not is_included(leaf, size, size, proof, tree)


@given(leaves, st.data())
def test_an_altered_consistency_proof_is_refused(given_leaves: list[bytes], data: st.DataObject) -> None:
    earlier, size, tree = data.draw(st.integers(1, len(given_leaves))), len(given_leaves), root(given_leaves)
    proof, before = consistency_proof(given_leaves, earlier), root(given_leaves[:earlier])
    assert not is_consistent(earlier, size, altered(data, proof), before, tree)
    assert not is_consistent(earlier, size, proof, leaf_hash(before), tree)
    assert not is_consistent(earlier, size, proof, before, leaf_hash(tree))
    assert not is_consistent(size + 1, size, proof, before, tree)


@pytest.mark.parametrize("position", [-1, 8])
def test_a_leaf_that_is_not_there_has_no_proof(position: int) -> None:
    with pytest.raises(IndexError, match="no leaf"):
        inclusion_proof(LEAVES, position)


@pytest.mark.parametrize("earlier", [0, 9])
def test_a_tree_that_was_never_there_has_no_proof(earlier: int) -> None:
    with pytest.raises(IndexError, match="no earlier tree"):
        consistency_proof(LEAVES, earlier)
