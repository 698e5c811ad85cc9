"""Tokens to signs: what was named, what was denied, what is only a word for an event, and what is not understood."""

import difflib
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import product

from steadycone.data.reader import toml
from steadycone.procedures.triage import words
from steadycone.procedures.triage.model import Heard, Unknown

SIGNS = "triage/signs.toml"
_PERSON = "person"
_SLACK = 4  # other words that may stand between those of one sign


def hear(told: str | Sequence[str]) -> Heard:
    """Read what somebody said. Order does not matter, and nothing is dropped in silence."""
    named: set[str] = set()
    absent: set[str] = set()
    events: set[str] = set()
    unknown: set[str] = set()
    every: list[str] = []
    for line in [told] if isinstance(told, str) else told:
        before: list[str] = []
        for clause in words.clauses(line):
            rest, said = _without_named(clause)
            events.update(said)
            if not rest:
                continue
            there, denied, kept = _clause(rest, before)
            before = [word for word in kept if word in _things()] or before
            every += kept
            named |= there
            absent |= denied
            if not there and not denied and not said and words.tokens(rest):
                unknown.add(clause)
    if events and not named and _taught(told):
        unknown |= events  # a word that is taught is nothing that happened
        events = set()
    said_there = frozenset(every)
    spread = _spread(said_there)
    named |= spread
    if not events and all(toml(SIGNS)[sign].get("calm", False) for sign in named) and not _ordinary() & said_there:
        spread |= _spread(said_there, coarse=True)
        named |= spread
    return Heard(
        signs=in_order(named),
        absent=in_order(absent - named),
        named=tuple(sorted(events)),
        unknown=() if spread else tuple(Unknown(said, nearest(said)) for said in sorted(unknown)),
    )


def _taught(told: str | Sequence[str]) -> bool:
    """Whether the line is a lesson or a question about a word."""
    said = f" {' '.join(words.clauses(told))} "
    return any(f" {word} " in said for word in toml(words.TABLE)["lesson"]["words"])


def in_order(signs: Iterable[str]) -> tuple[str, ...]:
    """Signs in the order of their table."""
    wanted = set(signs)
    return tuple(sign for sign in toml(SIGNS) if sign in wanted)


def nearest(said: str) -> str | None:
    """The sign that misspelt words may mean, or None."""
    if set(words.tokens(said)) <= {words.NOT}:
        return None
    guessed = " ".join(_spelt(word) for word in said.split())
    there, _, _ = _clause(guessed, [])
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
    for word in table["counted"]:
        rest = rest.replace(f" {word} ", " pop ")
    for arrestor in ("arrestor", "arrester"):
        rest = rest.replace(f" flashback {arrestor}", f" {arrestor}")
    for word in sorted(table["anywhere"], key=len, reverse=True):
        if f" {word} " in rest:
            rest = rest.replace(f" {word} ", " ")
            said.append(word)
    return rest.strip(), said


def _clause(clause: str, before: list[str]) -> tuple[set[str], set[str], list[str]]:
    """Signs named in one clause, signs denied in it, and its words that are not denied.

    before  the things named in the clause before it: meant again by "it" or by a clause that begins with its verb
    """
    read = words.read(clause)
    fixed, spent = _denying_signs(read)
    denied_at = _denied(read, spent)
    kept = [(word, denied_at[at]) for at, word in enumerate(read) if word not in words.fillers() and at not in spent]
    plain = [word for word, denied in kept if not denied]
    if before and _leans(clause) and not any(word in _things() for word in plain):
        plain = [*before, *plain]
    there = fixed | _match(plain)
    denied = _match([word for word, _ in kept if word != words.NOT]) - there if any(denied for _, denied in kept) else set()
    return there, denied, plain


@cache
def _things() -> frozenset[str]:
    """The gear and the people that a sign is about."""
    return frozenset(words.token(word) for word in toml(words.TABLE)["carried"]["things"])


def _leans(clause: str) -> bool:
    """Whether a clause speaks of what the one before it named."""
    said, table = clause.split(), toml(words.TABLE)["carried"]
    return said[0] in table["verbs"] or any(word in table["pronouns"] for word in said) or set(said) <= set(table["adjectives"])


def _denied(read: list[str], spent: set[int]) -> list[bool]:
    """For each token whether it is denied. A denial reaches forward to the clause's end or to a word that ends it; "smoke none" and
    "smoke not seen" deny what stands before. "not sure" denies nothing."""
    table = toml(words.TABLE)["negation"]
    cancelled, ends = _as_tokens(table["cancelled_by"]), _as_tokens(table["ends"])
    after, goes_on = _as_tokens(table["after"]), _as_tokens(table["goes_on"])
    denied = [False] * len(read)
    for at, word in enumerate(read):
        if word != words.NOT or at in spent:
            continue
        denied[at] = True
        rest = read[at + 1 :]
        first = next((later for later in rest if later not in words.fillers() or later in cancelled or later in goes_on), "")
        if rest and rest[0] in table["makes"] and (stops := [place for place in range(at + 1, len(read)) if read[place] in goes_on]):
            denied[stops[0]] = True
            continue
        if first in cancelled or first in goes_on:
            denied[at + 1 : at + 1 + rest.index(first) + 1] = [True] * (rest.index(first) + 1)
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
    """Signs whose words all stand close together, and none of the words that make them harmless stands with them.

    A sign whose words are all part of another's that matched is dropped.
    """
    there = set(plain)
    hits = [(sign, wanted) for sign, wanted in _phrases()[0] if wanted <= there and _close(plain, wanted)]
    hits = [(sign, wanted) for sign, wanted in hits if not _unless(sign) & (there - wanted)]
    return {sign for sign, wanted in hits if not any(wanted < other for _, other in hits)}


def _spread(there: frozenset[str], *, coarse: bool = False) -> set[str]:
    """Signs whose words may stand anywhere in what was said: a person and a place, a gas and a pit.

    coarse  the looser ways too, for what nothing else understood: doubt goes to the more dangerous reading
    """
    ways = _wide("coarse" if coarse else "anywhere")
    return {sign for sign, wanted in ways if wanted <= there and not _unless(sign) & (there - wanted)}


@cache
def _ordinary() -> frozenset[str]:
    """Words of plans, orders and lessons: nobody says them of what happens now."""
    return frozenset(words.token(word) for word in toml(words.TABLE)["ordinary"]["words"])


@cache
def _unless(sign: str) -> frozenset[str]:
    return frozenset(word for said in toml(SIGNS)[sign].get("unless", ()) for word in words.tokens(said))


def _close(plain: list[str], wanted: frozenset[str]) -> bool:
    if not wanted <= set(plain):
        return False
    plain = [word for word in plain if word in wanted or word != _PERSON]
    width = len(wanted) + _SLACK
    return any(wanted <= set(plain[start : start + width]) for start in range(max(1, len(plain) - len(wanted) + 1)))


Ways = tuple[tuple[str, frozenset[str]], ...]


@cache
def _phrases() -> tuple[Ways, tuple[tuple[str, tuple[str, ...]], ...]]:
    """Every way to say a sign: as sets of tokens, and word for word where a denial is part of it."""
    plain, denying = [], []
    for sign, entry in toml(SIGNS).items():
        for phrase in (*entry["also"], *_spelt_out(entry.get("ways", ()))):
            read = tuple(words.tokens(phrase))
            if words.NOT in read:
                denying.append((sign, read))
            else:
                plain.append((sign, frozenset(read)))
    return tuple(plain), tuple(denying)


@cache
def _wide(key: str) -> Ways:
    """The ways whose words may stand anywhere in what was said. key: "anywhere" or "coarse"."""
    return tuple(
        (sign, frozenset(words.tokens(phrase))) for sign, entry in toml(SIGNS).items() for phrase in _spelt_out(entry.get(key, ()))
    )


def _spelt_out(ways: Iterable[str]) -> Iterator[str]:
    """ "hot|warm shell|wall" as each of its four ways; @name stands for a class of words."""
    classes = toml(words.TABLE)["classes"]
    for way in ways:
        choices = [[one for word in part.split("|") for one in classes.get(word, [word])] for part in way.split()]
        yield from (" ".join(each) for each in product(*choices))
