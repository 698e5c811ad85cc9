"""A limit as a person reads it. In a file of its own: the card's JSON needs it, and nothing else of a page."""

from steadycone.render.words import Words


def limit_text(pressure: float, words: Words) -> str:
    """A limit, rounded down to what a person reads, without idle zeros; one below nothing, as in a caisson, as nothing."""
    return plain(words.numbers.bare(max(pressure, 0.0), "gauge pressure", "down"), words.numbers.decimal)


def plain(shown: str, mark: str) -> str:
    """A number without idle zeros."""
    return shown.rstrip("0").rstrip(mark) if mark in shown else shown
