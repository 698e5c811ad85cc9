"""Passwords: argon2id, with the parameters that OWASP's password storage cheat sheet lists first (m = 19 MiB, t = 2, p = 1)."""

from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from steadycone.errors import InputError

SHORTEST, LONGEST = 10, 200  # characters; no rules about which (NIST SP 800-63B 3.1.1 asks for length alone)
_HASHER = PasswordHasher(time_cost=2, memory_cost=19456, parallelism=1)


def hashed(password: str) -> str:
    """Raises  InputError: too short, or longer than anything a person types."""
    if not SHORTEST <= len(password) <= LONGEST:
        raise InputError(
            f"a password of {len(password)} characters", where="password", try_=f"Use {SHORTEST} or more; a few words in a row are good."
        )
    return _HASHER.hash(password)


def matches(password: str, kept: str | None) -> bool:
    """Whether a password is the one that was kept. Somebody unknown costs as long as somebody known."""
    try:
        return _HASHER.verify(kept or _nobody(), password[:LONGEST]) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def is_old(kept: str) -> bool:
    """Made with other parameters than today's."""
    return _HASHER.check_needs_rehash(kept)


@cache
def _nobody() -> str:
    return _HASHER.hash("nobody has this password")
