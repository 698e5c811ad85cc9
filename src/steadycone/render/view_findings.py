"""Findings as lines: worst first, letters for their sources, the passed ones folded."""

from typing import Any

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.practice.finding import Finding
from steadycone.render.model import FindingLine, SourceLine
from steadycone.render.words import Words, capital


class Letters:
    """Gives each source a letter when it is first asked for: a to z, then aa."""

    def __init__(self) -> None:
        self.given: dict[str, str] = {}

    def of(self, keys: tuple[str, ...]) -> str:
        for key in keys:
            if key not in self.given:
                count = len(self.given)
                self.given[key] = ("" if count < 26 else chr(96 + count // 26)) + chr(97 + count % 26)
        return ",".join(self.given[key] for key in keys)


def finding_lines(
    card: Card, told: list[dict[str, Any]], words: Words, letters: Letters, verdicts: tuple[str, ...]
) -> tuple[FindingLine, ...]:
    """Lines of the findings with these verdicts; `told` are all the card's findings as its JSON has them, in the same order."""
    site = card.figures.setup.policy.site
    return tuple(
        _line(finding, said, words, letters, site) for finding, said in zip(card.findings, told, strict=True) if finding.verdict in verdicts
    )


def _line(finding: Finding, said: dict[str, Any], words: Words, letters: Letters, site: str) -> FindingLine:
    subject, numbers, reason = words.subject(finding.subject), _numbers(finding, words), finding.blanks.get("reason", "")
    return FindingLine(
        verdict=finding.verdict,
        do=_ended(words.do(finding) or said["says"]),
        detail=f"{capital(subject)}: {reason}" if reason else f"{capital(subject)} {numbers}".strip(),
        detail_short=numbers,
        letters=letters.of(finding.sources) if finding.verdict != "go" else "",
        says=said["says"],
        remedy=said["remedy"],
        subject=subject,
        code=finding.code,
        margin=words.numbers.show(finding.margin.at("low"), "down") if finding.margin is not None else "",
        source_titles=tuple(source_line("", key, site).told for key in finding.sources),
    )


def _ended(told: str) -> str:
    return told if not told or told[-1] in ".!?" else told + "."


def _numbers(finding: Finding, words: Words) -> str:
    """Value, at the end that was judged, and limit alone."""
    judged = finding.judged
    if judged is None:
        return ""
    if finding.limit is None or finding.limit.value is None:
        return words.numbers.show(judged)
    value, limit = words.numbers.pair(judged, finding.limit)
    return f"{value}, limit {limit}"


def go_summary(card: Card, words: Words) -> str:
    """What the passed checks were about, each theme once, in the order of the table."""
    passed = {finding.code for finding in card.findings if finding.verdict == "go"}
    themes = reader.toml("card.toml")["go"]
    about = {_theme(code, themes) for code in passed}
    told = dict.fromkeys(words.fill(theme, {}) for beginning, theme in themes.items() if beginning in about)
    return capital(" · ".join(told)) + "." if told else ""


def _theme(code: str, themes: dict[str, str]) -> str:
    return next((beginning for beginning in themes if code.startswith(beginning)), "")


def source_line(letter: str, key: str, site: str) -> SourceLine:
    if key == "site-policy":
        return SourceLine(letter, f"site policy {site.rpartition('/')[2]}".strip(), "")
    entry = reader.sources()[key]
    return SourceLine(letter, entry["title"], reader.toml("card.toml")["kinds"][entry["kind"]])


def source_lines(card: Card, letters: Letters) -> tuple[SourceLine, ...]:
    site = card.figures.setup.policy.site
    return tuple(source_line(letter, key, site) for key, letter in letters.given.items())
