"""Signed heads: the size and root of a log at a moment, under an Ed25519 signature. Whoever holds one can tell later that nothing before it changed."""

import hashlib
import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from steadycone.errors import BadFile, InputError
from steadycone.records import canonical

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

FORMAT = "steadycone-head/1"
_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O, U: read aloud and typed from paper
_CODE_BYTES = 10


@dataclass(frozen=True, slots=True)
class SignedHead:
    """log : the log's id. size : events under it. root, signature : bytes. at : as the log writes moments. key : public key, hex."""

    log: str
    site: str
    size: int
    root: bytes
    at: str
    key: str
    signature: bytes

    @property
    def code(self) -> str:
        """Short code for paper: size, then 80 bits of log, size and root."""
        return code(self.log, self.size, self.root)

    @property
    def text(self) -> str:
        """One line of JSON, to be kept outside the store."""
        return json.dumps(
            {
                "format": FORMAT,
                "log": self.log,
                "site": self.site,
                "size": self.size,
                "root": self.root.hex(),
                "at": self.at,
                "key": self.key,
                "code": self.code,
                "signature": self.signature.hex(),
            },
            ensure_ascii=False,
        )

    def signed_by(self, key: str | None = None) -> bool:
        """Whether the signature is of this head, by `key` (hex) or, left out, by the key it names itself."""
        return signed(key or self.key, self.signature, self.log, self.size, self.root, self.at)


def statement(log: str, size: int, root: bytes, at: str) -> bytes:
    """What is signed: canonical JSON, keys in order."""
    return f'{{"at":{canonical.text(at)},"format":"{FORMAT}","log":{canonical.text(log)},"root":"{root.hex()}","size":{size}}}'.encode()


def sign(key: "Ed25519PrivateKey", log: str, size: int, root: bytes, at: str) -> bytes:
    return key.sign(statement(log, size, root, at))


def signed(key: str, signature: bytes, log: str, size: int, root: bytes, at: str) -> bool:
    """Whether a signature holds. A key that is none, or a signature of another length, does not."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(key)).verify(signature, statement(log, size, root, at))
    except (InvalidSignature, ValueError):
        return False
    return True


def code(log: str, size: int, root: bytes) -> str:
    """ "1234-K7QM-2RZD-0XHF-9WNB". It needs no time, so that it can be worked out again from the events alone."""
    digest = hashlib.sha256(f"{log}:{size}:".encode() + root).digest()[:_CODE_BYTES]
    number = int.from_bytes(digest, "big")
    letters = "".join(_LETTERS[number >> shift & 31] for shift in range(_CODE_BYTES * 8 - 5, -1, -5))
    return "-".join([str(size), *(letters[at : at + 4] for at in range(0, len(letters), 4))])


def read_code(text: str) -> tuple[int, str]:
    """Size and the tidied code, as typed from paper.

    Raises  InputError.
    """
    parts = text.strip().upper().replace(" ", "-").replace("O", "0").replace("I", "1").replace("L", "1").split("-")
    groups = [part for part in parts if part]
    if (
        len(groups) != 5
        or not (groups[0].isascii() and groups[0].isdigit() and len(groups[0]) <= 18)
        or any(len(g) != 4 or set(g) - set(_LETTERS) for g in groups[1:])
    ):
        raise InputError(f'"{text[:60]}" is not the code of a head', where="code", try_='It looks like "1234-K7QM-2RZD-0XHF-9WNB".')
    return int(groups[0]), "-".join(groups)


def whole_number(value: object) -> int:
    """A count as a file has it.

    Raises  ValueError: no whole number, below zero, or larger than any log.
    """
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < 1 << 62:
        raise ValueError("a number that no log has")
    return value


def parse_head(text: str) -> SignedHead:
    """A head as `text` wrote it.

    Raises  BadFile.
    """
    try:
        found = json.loads(text)
        if found["format"] != FORMAT:
            raise ValueError(found["format"])
        return SignedHead(
            log=str(found["log"]),
            site=str(found["site"]),
            size=whole_number(found["size"]),
            root=bytes.fromhex(found["root"]),
            at=str(found["at"]),
            key=str(found["key"]),
            signature=bytes.fromhex(found["signature"]),
        )
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise BadFile(f"this is not a signed head ({error})", where="head", try_="Give the line of JSON that log head wrote.") from error
