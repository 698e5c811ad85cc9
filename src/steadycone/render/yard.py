"""One station as a row of the yard: fit or not, what to do first, gas left, what is due, who signed."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.practice.finding import Finding, Verdict, worst
from steadycone.render.labels import kind_words
from steadycone.render.view import hose_colours
from steadycone.render.words import VERDICTS, Words, capital
from steadycone.render.yard_dates import Due, earliest, moment_text
from steadycone.render.yard_facts import SignFact, YardFacts
from steadycone.render.yard_gas import GasLeft, gas_left

_ORDER: dict[Verdict, int] = {"stop": 0, "caution": 1, "go": 2}


@dataclass(frozen=True, slots=True)
class YardRow:
    """Every text is in the region's words.

    hoses : class names that pick the gases' colours
    more : troubles besides the one in `do`
    sort : worst first, then what an incident holds, then by what is due, then by name
    valid_until : when the row changes by time alone; it may be kept until then
    """

    name: str
    verdict: Verdict
    word: str
    hoses: str
    job: str
    do: str
    detail: str
    more: int
    gas: tuple[GasLeft, ...]
    due: Due
    signed: bool
    signed_text: str
    sort: tuple[int, int, int, str]
    valid_until: datetime


@dataclass(frozen=True, slots=True)
class _Trouble:
    verdict: Verdict
    do: str
    detail: str


def row_of(card: Card, facts: YardFacts, now: datetime) -> YardRow:
    """The row of a station whose card can be made; `now` is in the yard's own zone, and the card is of that day.

    card : with what the records hold laid over it

    Raises  ValueError: `now` has no zone, or the card is of another day.
    """
    if now.utcoffset() is None or card.figures.on != now.date():
        raise ValueError(f"a card of {card.figures.on} for a row of {now.isoformat()}")
    about = card.figures.setup.station.station
    words = Words.of(about.region)
    troubles = [*_findings(card.findings, words), *_unsigned(facts, now, words)]
    dated = [*_card_dates(card, words), *_gear_dates(facts, words)]
    return _row(about.name, words, about.fuel, _job(card, words), troubles, gas_left(card, words), dated, facts, now)


def row_without_card(
    name: str, region: str, fuel: str, says: str, facts: YardFacts, now: datetime, held: Sequence[Finding] = ()
) -> YardRow:  # fmt: skip
    """The row of a station whose file is in error: a stop, since nothing is known of it. `says`: what is wrong. held : by the records

    Raises  UnknownName: no such region. ValueError: `now` has no zone.
    """
    if now.utcoffset() is None:
        raise ValueError(f"{now.isoformat()} has no zone")
    words = Words.of(region)
    broken = _Trouble("stop", reader.toml("yard.toml")["do"]["no_card"], _ended(says))
    stops = [finding for finding in held if finding.verdict == "stop"]
    others = [finding for finding in held if finding.verdict != "stop"]
    troubles = [*_findings(stops, words), broken, *_findings(others, words), *_unsigned(facts, now, words)]
    return _row(name, words, fuel, words.gas(fuel), troubles, (), _gear_dates(facts, words), facts, now)


def _row(
    name: str,
    words: Words,
    fuel: str,
    job: str,
    troubles: list[_Trouble],
    gas: tuple[GasLeft, ...],
    dated: list[tuple[date | None, str]],
    facts: YardFacts,
    now: datetime,
) -> YardRow:
    verdict = worst([*(trouble.verdict for trouble in troubles), "go"])
    signed = facts.sign is not None and facts.sign.holds(now)
    told = signed_text(facts.sign, now, words)
    first = next((t for t in troubles if t.verdict == verdict), _Trouble("go", reader.toml("yard.toml")["do"]["nothing"], told))
    due = earliest(dated, now.date(), words)
    return YardRow(
        name=name,
        verdict=verdict,
        word=VERDICTS[verdict],
        hoses=hose_colours(words.region, fuel),
        job=job,
        do=first.do,
        detail=first.detail,
        more=max(0, len(troubles) - 1),
        gas=gas,
        due=due,
        signed=signed,
        signed_text=told,
        sort=(_ORDER[verdict], 0 if facts.held else 1, due.sort, name.casefold()),
        valid_until=_valid_until(facts.sign, now),
    )


def signed_text(sign: SignFact | None, now: datetime, words: Words) -> str:
    """Who signed and when; or that it is not signed, and what became of the last one."""
    said = reader.toml("yard.toml")["signed"]
    if sign is None or sign.at > now:
        return str(said["never"])
    if sign.holds(now):
        return str(said["by"].format(when=moment_text(sign.at, now, words), who=sign.by))
    if sign.ended:
        why = words.fill(reader.toml("yard.toml")["ended"].get(sign.ended, "{why}"), {"why": sign.ended})
        return str(said["ended"].format(when=moment_text(sign.ended_at or sign.valid_until, now, words), why=why))
    return str(said["over"].format(when=moment_text(sign.valid_until, now, words)))


def _valid_until(sign: SignFact | None, now: datetime) -> datetime:
    """The next midnight, when days get other names and dates pass; or what the sign-off does before it."""
    midnight = datetime.combine(now.date() + timedelta(days=1), time(), now.tzinfo)
    turns = [] if sign is None or sign.ended else [moment for moment in (sign.at, sign.valid_until) if moment > now]
    return min([midnight, *(moment.astimezone(now.tzinfo) for moment in turns)])


def _unsigned(facts: YardFacts, now: datetime, words: Words) -> Iterator[_Trouble]:
    if facts.sign is None or not facts.sign.holds(now):
        yield _Trouble("caution", reader.toml("yard.toml")["do"]["sign"], signed_text(facts.sign, now, words))


def _findings(findings: Iterable[Finding], words: Words) -> Iterator[_Trouble]:
    """The troubles on a card, worst first as it has them. That the last sign-off ended stands in the row's own line."""
    form = reader.toml("yard.toml")["detail"]["finding"]
    for finding in findings:
        if finding.verdict != "go" and finding.code != "record-sign-off":
            subject, says = words.subject(finding.subject), words.says(finding)
            told = says if subject == "station" else form.format(Subject=capital(subject), says=says)
            yield _Trouble(finding.verdict, _ended(words.do(finding) or words.says(finding)), told)


def _card_dates(card: Card, words: Words) -> list[tuple[date | None, str]]:
    """The dated parts of the station's file, and those that stop for want of a date."""
    dated = (finding for finding in card.findings if finding.code in _DATED)
    return [(_due_day(each), words.subject(each.subject)) for each in dated if "due" in each.blanks or each.verdict == "stop"]


_DATED = ("part-overdue", "part-age-unknown")


def _due_day(finding: Finding) -> date | None:
    due = finding.blanks.get("due")
    return date.fromisoformat(due) if isinstance(due, str) else None


def _gear_dates(facts: YardFacts, words: Words) -> list[tuple[date | None, str]]:
    return [(item.until, f"{kind_words(item.kind, item.gas, words.region)} {item.mark}") for item in facts.gear]


def _job(card: Card, words: Words) -> str:
    """ "Cut 25 mm · acetylene"."""
    job, about = card.figures.job, card.figures.setup.station.station
    thickness = words.numbers.show(job.thickness) if job.thickness is not None else ""
    return f"{reader.toml('card.toml')['job'][job.kind]} {thickness}".strip() + f" · {words.gas(about.fuel)}"


def _ended(told: str) -> str:
    return told if not told or told[-1] in ".!?" else told + "."
