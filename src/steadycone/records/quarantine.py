"""Reasons for a quarantine: the list to choose from, and those after which an item is only retired."""

import re
from functools import lru_cache
from typing import Any

from steadycone.data.reader import toml
from steadycone.errors import InputError, UnknownName, nearest

TABLE = "quarantine.toml"
_BACK = 3  # words before, in which a denial is looked for


def reasons(kind: str) -> dict[str, str]:
    """What may be chosen for a kind of gear: code to words. "other" says nothing by itself."""
    return {code: str(entry["says"]) for code, entry in toml(TABLE)["reason"].items() if kind in entry.get("kinds", (kind,))}


def reason_of(kind: str, code: str, words: str) -> str:
    """The reason as it goes on the tag: the chosen one, then the free words.

    Raises  UnknownName: no such reason for this kind. InputError: nothing is said.
    """
    known = reasons(kind)
    if code and code not in known:
        raise UnknownName(f'"{code[:40]}" is no reason for a {kind}', where="why", try_=nearest(code[:40], known))
    told = ": ".join(part for part in (known.get(code, ""), " ".join(words.split())) if part)
    if not told:
        raise InputError("nothing said", where="reason", try_="Say what is wrong: it goes on the tag.")
    return told


def never_back(kind: str, reason: str) -> str:
    """What to do instead of releasing it; empty where it may be released. Read from the chosen reason, or from free words.

    Source      hose-after-flashback; regulator-flash-report
    """
    entry = _never_back(kind, reason)
    return str(entry["cure"]) if entry else ""


@lru_cache(maxsize=4096)
def _never_back(kind: str, reason: str) -> dict[str, Any] | None:
    plain = " ".join(re.findall(r"[\w']+", reason.casefold().replace("-", " ")))
    for entry in toml(TABLE)["reason"].values():
        if entry.get("retire") and kind in entry["kinds"] and any(_said(plain, words) for words in (entry["says"], *entry["words"])):
            return dict(entry)
    return None


def _said(plain: str, words: str) -> bool:
    """Whether the words stand in a text without a denial just before them."""
    for found in re.finditer(rf"\b{re.escape(words)}\b", plain):
        before = plain[: found.start()].split()[-_BACK:]
        if not set(before) & set(toml(TABLE)["denied"]):
            return True
    return False


def kept_reason(kind: str, standing: str, new: str) -> str:
    """The reason after one more quarantine: one that only ends by retiring is never written over."""
    if not never_back(kind, standing) or new in standing:
        return new if not never_back(kind, standing) else standing
    return f"{standing}; {new}"
