"""Tokens to signs: what was named, what was denied, what is only a word for an event, and what is not understood."""

import difflib
from collections.abc import Iterable, Sequence
from functools import cache

from steadycone.data.reader import toml
from steadycone.procedures.triage import words
from steadycone.procedures.triage.model import Heard, Unknown

SIGNS = "triage/signs.toml"
_SLACK = 2  # other words that may stand between those of one sign


def hear(told: str | Sequence[str]) -> Heard:
    """Read what somebody said. Order does not matter, and nothing is dropped in silence."""
    named: set[str] = set()
    absent: set[str] = set()
    events: set[str] = set()
    unknown: set[str] = set()
    for clause in words.clauses(told):
        rest, said = _without_named(clause)
        events.update(said)
        if not rest:
            continue
        there, denied = _clause(rest)
        named |= there
        absent |= denied
        if not there and not denied and not said and words.tokens(rest):
            unknown.add(clause)
    return Heard(
        signs=in_order(named),
        absent=in_order(absent - named),
        named=tuple(sorted(events)),
        unknown=tuple(Unknown(said, nearest(said)) for said in sorted(unknown)),
    )


def in_order(signs: Iterable[str]) -> tuple[str, ...]:
    """Signs in the order of their table."""
    wanted = set(signs)
    return tuple(sign for sign in toml(SIGNS) if sign in wanted)


def nearest(said: str) -> str | None:
    """The sign that misspelt words may mean, or None."""
    if set(words.tokens(said)) <= {words.NOT}:
        return None
    guessed = " ".join(_spelt(word) for word in said.split())
    there, _ = _clause(guessed)
    if there:
        return in_order(there)[0]
    phrases = {phrase: sign for sign, entry in toml(SIGNS).items() for phrase in entry["also"]}
    close = difflib.get_close_matches(said, phrases, n=1, cutoff=0.8)
    return phrases[close[0]] if close else None


def _spelt(word: str) -> str:
    if word in words.fillers() or word in words.vocabulary():
        return word
    close = difflib.get_close_matches(word, sorted(words.vocabulary()), n=1, cutoff=0.82)
    return close[0] if close else word


def _without_named(clause: str) -> tuple[str, list[str]]:
    """A clause without the words for an event, and those words. An arrestor's own name is no such word."""
    table = toml(words.TABLE)["named"]
    plain = " ".join(word for word in clause.split() if word not in words.fillers())
    if plain in (*table["anywhere"], *table["alone"]):
        return "", [plain]
    rest, said = f" {clause} ", []
    for arrestor in ("arrestor", "arrester"):
        rest = rest.replace(f" flashback {arrestor}", f" {arrestor}")
    for word in sorted(table["anywhere"], key=len, reverse=True):
        if f" {word} " in rest:
            rest = rest.replace(f" {word} ", " ")
            said.append(word)
    return rest.strip(), said


def _clause(clause: str) -> tuple[set[str], set[str]]:
    """Signs named in one clause, and signs denied in it."""
    read = words.read(clause)
    fixed, spent = _denying_signs(read)
    denied_at = _denied(read, spent)
    kept = [(word, denied_at[at]) for at, word in enumerate(read) if word not in words.fillers() and at not in spent]
    there = fixed | _match([word for word, denied in kept if not denied])
    return there, _match([word for word, _ in kept if word != words.NOT]) - there if any(denied for _, denied in kept) else set()


def _denied(read: list[str], spent: set[int]) -> list[bool]:
    """For each token whether it is denied. A denial reaches forward to the clause's end or to a word that ends it; "smoke none" and
    "smoke not seen" deny what stands before. "not sure" denies nothing."""
    table = toml(words.TABLE)["negation"]
    cancelled, ends = _as_tokens(table["cancelled_by"]), _as_tokens(table["ends"])
    after = _as_tokens(table["after"])
    denied = [False] * len(read)
    for at, word in enumerate(read):
        if word != words.NOT or at in spent:
            continue
        denied[at] = True
        rest = read[at + 1 :]
        if rest and rest[0] in cancelled:
            denied[at + 1] = True
            continue
        if all(later in after or later in words.fillers() for later in rest):
            denied = [True] * len(read)
            continue
        for place in range(at + 1, len(read)):
            if read[place] in ends:
                break
            denied[place] = True
    return denied


@cache
def _tokens_of(listed: tuple[str, ...]) -> frozenset[str]:
    return frozenset(word if word in words.fillers() else words.token(word) for word in listed)


def _as_tokens(listed: list[str]) -> frozenset[str]:
    return _tokens_of(tuple(listed))


def _denying_signs(read: list[str]) -> tuple[set[str], set[int]]:
    """Signs that are said with a denial, such as "no flame" or "won't shut": word for word. With the places of the words they use."""
    places = [at for at, word in enumerate(read) if word not in words.fillers()]
    plain = [read[at] for at in places]
    found, spent = set(), set()
    for sign, phrase in _phrases()[1]:
        for start in range(len(plain) - len(phrase) + 1):
            if tuple(plain[start : start + len(phrase)]) == phrase:
                found.add(sign)
                spent |= set(places[start : start + len(phrase)])
    return found, spent


def _match(plain: list[str]) -> set[str]:
    """Signs whose words all stand close together. A sign whose words are all part of another's that matched is dropped."""
    hits = [(sign, wanted) for sign, wanted in _phrases()[0] if _close(plain, wanted)]
    return {sign for sign, wanted in hits if not any(wanted < other for _, other in hits)}


def _close(plain: list[str], wanted: frozenset[str]) -> bool:
    if not wanted <= set(plain):
        return False
    width = len(wanted) + _SLACK
    return any(wanted <= set(plain[start : start + width]) for start in range(max(1, len(plain) - len(wanted) + 1)))


@cache
def _phrases() -> tuple[list[tuple[str, frozenset[str]]], list[tuple[str, tuple[str, ...]]]]:
    """Every way to say a sign: as sets of tokens, and word for word where a denial is part of it."""
    plain, denying = [], []
    for sign, entry in toml(SIGNS).items():
        for phrase in entry["also"]:
            read = tuple(words.tokens(phrase))
            if words.NOT in read:
                denying.append((sign, read))
            else:
                plain.append((sign, frozenset(read)))
    return plain, denying
