"""Proofs for somebody without the store: this event stands in the log under this head. Only the head they hold is trusted."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from steadycone.errors import BadFile
from steadycone.records.envelope import Recorded, read_leaf
from steadycone.records.heads import SignedHead, code, parse_head, read_code, whole_number
from steadycone.records.merkle import consistent, included, leaf_hash

FORMAT = "steadycone-proof/1"


@dataclass(frozen=True, slots=True)
class Proven:
    """Whether a proof holds; if not, why. `event`: what it says, where it could be read."""

    holds: bool
    why: str
    event: Recorded | None = None


def make_proof(leaf: str, index: int, head: SignedHead, path: list[bytes], size: int, root: bytes, onward: list[bytes]) -> dict[str, Any]:
    """path leads from the leaf to `root` at `size`; onward from there to the head, empty where they are the same."""
    return {
        "format": FORMAT,
        "leaf": leaf,
        "index": index,
        "size": size,
        "root": root.hex(),
        "path": [step.hex() for step in path],
        "onward": [step.hex() for step in onward],
        "head": json.loads(head.text),
    }


def verify_proof(proof: Mapping[str, Any], head: SignedHead | str, key: str | None = None) -> Proven:
    """Check a proof against a head, or a head's short code, that came another way than the proof did.

    Parameters
    ----------
    head : the head one holds, or its code from paper. It may be older than the proof's, if it covers the event
    key : public key (hex) that must have signed it; left out, the one the head names. With a code, it is the proof's own head that must be signed by it

    Raises  BadFile: not a proof. InputError: not a code.
    """
    try:
        if proof["format"] != FORMAT:
            raise BadFile(
                f'a proof of format "{str(proof["format"])[:40]}"', where="proof", try_="Check it with the program that wrote it."
            )
        leaf, index, size = str(proof["leaf"]), whole_number(proof["index"]), whole_number(proof["size"])
        digest = leaf_hash(leaf.encode())
        root, path = bytes.fromhex(proof["root"]), [bytes.fromhex(step) for step in proof["path"]]
        onward = [bytes.fromhex(step) for step in proof["onward"]]
        told = parse_head(json.dumps(proof["head"]))
    except (KeyError, TypeError, ValueError) as error:
        raise BadFile(f"this is not a proof ({error})", where="proof", try_="Give the file that log prove wrote.") from error
    if not included(digest, index, size, path, root):
        return Proven(False, "the path does not lead from this event to the root: event or proof was changed")
    event = read_leaf(leaf)
    if event.sequence != index + 1:
        return Proven(False, f"the event calls itself number {event.sequence} and stands at {index + 1}", event)
    if not consistent(size, told.size, onward, root, told.root):
        return Proven(False, "the head in the proof does not continue the log that the event is in", event)
    if not told.signed_by():
        return Proven(False, "the head in the proof is not signed: its time, its key or its signature was changed", event)
    return _against(event, head, key, told, {size: root, told.size: told.root})


def _against(event: Recorded, head: SignedHead | str, key: str | None, told: SignedHead, roots: dict[int, bytes]) -> Proven:
    if isinstance(head, str):
        size, tidy = read_code(head)
        if size not in roots:
            return Proven(False, f"the code is of {size} events; this proof is for {' or '.join(map(str, sorted(roots)))}", event)
        if code(told.log, size, roots[size]) != tidy:
            return Proven(False, "the code is another log's", event)
        if key is not None and key != told.key:
            return Proven(False, "the head in the proof is signed with another key than the one that is trusted", event)
        return Proven(True, "", event)
    if not head.signed_by(key):
        return Proven(False, "the head's signature does not hold", event)
    if head.log != told.log or roots.get(head.size) not in (None, head.root):
        return Proven(False, "the head you hold is of another log, or of one that was changed", event)
    if head.size not in roots:
        return Proven(False, f"the head is of {head.size} events; ask for a proof for it (prove, at={head.size})", event)
    return Proven(True, "", event)
