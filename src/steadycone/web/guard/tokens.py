"""Form tokens: a form of ours carries one, a form of somebody else's cannot know it.

The token is masked anew each time it is written, so that a compressed answer gives nothing of it away.
"""

import base64
import hashlib
import hmac
import secrets

_SIZE = 32


def make(secret: bytes) -> str:
    """A token of a session's secret (32 bytes)."""
    mask = secrets.token_bytes(_SIZE)
    return base64.urlsafe_b64encode(mask + _mixed(mask, secret)).decode()


def fits(token: str, secret: bytes) -> bool:
    """Whether a token was made of this secret."""
    try:
        found = base64.urlsafe_b64decode(token.encode("ascii"))
    except ValueError:
        return False
    if len(found) != 2 * _SIZE or len(secret) != _SIZE:
        return False
    return hmac.compare_digest(_mixed(found[:_SIZE], found[_SIZE:]), secret)


def of_text(text: str) -> bytes:
    """The 32 bytes that a cookie's text stands for."""
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()


def _mixed(mask: bytes, other: bytes) -> bytes:
    return bytes(a ^ b for a, b in zip(mask, other, strict=True))
