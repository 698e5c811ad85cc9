"""The open standards under the records, against their own test vectors. Bytes are equal or not: no tolerance.

The vectors were written down from memory and confirmed by computing them: a digest that is remembered wrongly can't come out.
"""

import json
from typing import Any

import pytest
import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from steadycone.errors import InputError
from steadycone.records import canonical, heads
from steadycone.records.merkle import EMPTY, Frontier, Tree, consistent, in_memory, included, leaf_hash, node_hash

# --- RFC 8785, section 3.2.2 and 3.2.3 --------------------------------------------------------


def test_the_example_of_rfc_8785_comes_out_byte_by_byte() -> None:
    # Section 3.2.2: numbers, string escapes and literals; its canonical form in UTF-8 is printed in section 3.2.4.
    given_text = """{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/",
      "literals": [null, true, false]
    }"""
    expected = (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
    assert canonical.dumps(json.loads(given_text)) == expected.encode()


def test_keys_are_sorted_by_utf_16_units() -> None:
    # Section 3.2.3: the property names, and the order their values come out in.
    given_keys = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    order = ["Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face",
             "Hebrew Letter Dalet With Dagesh"]  # fmt: skip
    assert list(json.loads(canonical.dumps(given_keys)).values()) == order


@pytest.mark.parametrize(
    ("bits", "text"),
    [
        # Appendix B, IEEE 754 bits and the number as written.
        ("0000000000000000", "0"),
        ("8000000000000000", "0"),
        ("0000000000000001", "5e-324"),
        ("8000000000000001", "-5e-324"),
        ("7fefffffffffffff", "1.7976931348623157e+308"),
        ("ffefffffffffffff", "-1.7976931348623157e+308"),
        ("4340000000000000", "9007199254740992"),
        ("c340000000000000", "-9007199254740992"),
        ("4430000000000000", "295147905179352830000"),
        ("44b52d02c7e14af5", "9.999999999999997e+22"),
        ("44b52d02c7e14af6", "1e+23"),
        ("44b52d02c7e14af7", "1.0000000000000001e+23"),
        ("444b1ae4d6e2ef4e", "999999999999999700000"),
        ("444b1ae4d6e2ef4f", "999999999999999900000"),
        ("444b1ae4d6e2ef50", "1e+21"),
        ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
        ("3eb0c6f7a0b5ed8d", "0.000001"),
        ("41b3de4355555553", "333333333.3333332"),
        ("41b3de4355555554", "333333333.33333325"),
        ("41b3de4355555555", "333333333.3333333"),
        ("41b3de4355555556", "333333333.3333334"),
        ("41b3de4355555557", "333333333.33333343"),
        ("becbf647612f3696", "-0.0000033333333333333333"),
        ("43143ff3c1cb0959", "1424953923781206.2"),
    ],
)
def test_the_numbers_of_rfc_8785_are_written_as_printed(bits: str, text: str) -> None:
    import struct

    assert canonical.dumps(struct.unpack(">d", bytes.fromhex(bits))[0]).decode() == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53, "\ud800"])
def test_what_rfc_8785_forbids_is_refused(value: Any) -> None:
    with pytest.raises(InputError):
        canonical.dumps(value)


@given(st.text(st.characters(exclude_categories=("Cs",))))
def test_a_single_string_is_written_as_the_library_writes_it(value: str) -> None:
    # `canonical.text` is Python's own writer, used for the few strings around an event's body.
    assert canonical.text(value).encode() == rfc8785.dumps(value)


# --- RFC 9162, section 2.1 ---------------------------------------------------------------------

# The eight leaves, and the roots of the first n of them, that implementations of RFC 6962 and 9162 share as test data.
LEAVES = ["", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
HASHES = [leaf_hash(bytes.fromhex(leaf)) for leaf in LEAVES]


@pytest.mark.parametrize("size", range(9))
def test_the_roots_of_the_shared_test_tree(size: int) -> None:
    frontier = Frontier()
    for leaf in HASHES[:size]:
        frontier.add(leaf)
    assert frontier.root().hex() == in_memory(HASHES[:size]).root(size).hex() == ROOTS[size]
    assert ROOTS[0] == EMPTY.hex()


def _seven() -> tuple[Tree, dict[str, bytes]]:
    """The tree with seven leaves that RFC 9162 draws in section 2.1.5, its nodes under the letters used there."""
    names = dict(zip("abcdefj", HASHES[:7], strict=True))
    for name, (left, right) in {"g": "ab", "h": "cd", "i": "ef", "k": "gh", "l": "ij"}.items():
        names[name] = node_hash(names[left], names[right])
    names["root"] = node_hash(names["k"], names["l"])
    return in_memory(HASHES[:7]), names


@pytest.mark.parametrize(("index", "path"), [(0, "bhl"), (3, "cgl"), (4, "fjk"), (6, "ik")])
def test_the_inclusion_proofs_drawn_in_rfc_9162(index: int, path: str) -> None:
    tree, names = _seven()
    assert tree.inclusion(index, 7) == [names[letter] for letter in path]
    assert included(HASHES[index], index, 7, tree.inclusion(index, 7), names["root"])


@pytest.mark.parametrize(("old", "path"), [(3, "cdgl"), (4, "l"), (6, "ijk")])
def test_the_consistency_proofs_drawn_in_rfc_9162(old: int, path: str) -> None:
    tree, names = _seven()
    assert tree.consistency(old, 7) == [names[letter] for letter in path]
    assert consistent(old, 7, tree.consistency(old, 7), tree.root(old), names["root"])


@given(st.integers(1, 700), st.data())
def test_every_proof_holds_and_no_other_does(size: int, data: st.DataObject) -> None:
    leaves = [leaf_hash(str(number).encode()) for number in range(size)]
    tree, frontier = in_memory(leaves), Frontier()
    for leaf in leaves:
        frontier.add(leaf)
    root, index, old = frontier.root(), data.draw(st.integers(0, size - 1)), data.draw(st.integers(1, size))
    assert root == tree.root(size)
    path, onward = tree.inclusion(index, size), tree.consistency(old, size) if old < size else []
    assert included(leaves[index], index, size, path, root)
    assert not included(leaf_hash(b"other"), index, size, path, root)
    assert not included(leaves[index], index, size, [*path, root], root)
    assert size == 1 or not included(leaves[index], index, size, path[1:], root)
    assert consistent(old, size, onward, tree.root(old), root)
    assert not consistent(old, size, onward, leaf_hash(b"other"), root)
    assert not consistent(old, size, [*onward, root], tree.root(old), root)


# --- RFC 8032, section 7.1 ---------------------------------------------------------------------

VECTORS = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
]


@pytest.mark.parametrize(("secret", "public", "message", "signature"), VECTORS)
def test_the_signatures_of_rfc_8032(secret: str, public: str, message: str, signature: str) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.public_key().public_bytes_raw().hex() == public
    assert key.sign(bytes.fromhex(message)).hex() == signature
    key.public_key().verify(bytes.fromhex(signature), bytes.fromhex(message))
    with pytest.raises(InvalidSignature):
        key.public_key().verify(bytes.fromhex(signature), bytes.fromhex(message) + b"\0")


def test_what_is_signed_of_a_head_is_canonical_json() -> None:
    told = heads.statement("ab" * 16, 7, bytes.fromhex(ROOTS[7]), "2026-11-25T09:00:00.000000Z")
    assert rfc8785.dumps(json.loads(told)) == told


def test_a_heads_signature_holds_for_that_head_alone() -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(VECTORS[0][0]))
    root, at, log = bytes.fromhex(ROOTS[7]), "2026-11-25T09:00:00.000000Z", "ab" * 16
    signature = heads.sign(key, log, 7, root, at)
    assert heads.signed(VECTORS[0][1], signature, log, 7, root, at)
    for other in (("cd" * 16, 7, root, at), (log, 8, root, at), (log, 7, EMPTY, at), (log, 7, root, "2026-11-25T09:00:00.000001Z")):
        assert not heads.signed(VECTORS[0][1], signature, *other)
    assert not heads.signed(VECTORS[1][1], signature, log, 7, root, at)
    assert not heads.signed("zz", b"", log, 7, root, at)
