"""A round's report for a terminal: plain text, 80 columns, what stops first."""

from steadycone.render.round_view import DropBox, FindingRow, Phase, RoundView, StepRow
from steadycone.render.text import WIDTH, wrapped

_MARKS = {"go": "[ok]", "caution": "[ ! ]", "stop": "[STOP]"}
_ANSWER = 18  # columns of the answer


def text_round(view: RoundView) -> str:
    """The whole report as text."""
    blocks = [_head(view), _stops(view), _signed(view), *(_drop(drop) for drop in view.drops), _findings(view)]
    blocks += [_phase(phase) for phase in view.phases]
    if view.void:
        blocks.append(["NO LONGER COUNTS, the round was gone again", *(line for each in view.void for line in wrapped(each, "  "))])
    blocks += [_sources(view), _floor(view)]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(view: RoundView) -> list[str]:
    bar = "=" * WIDTH
    lines = [f"ROUND: {view.name}", *wrapped(view.card.job), *wrapped(view.gone), *wrapped(view.made)]
    return [*lines, bar, *wrapped(f"{view.verdict_word}. {view.verdict_says}"), bar]


def _stops(view: RoundView) -> list[str]:
    if not view.stops:
        return []
    lines = ["NOT SIGNED, since"]
    for stop in view.stops:
        letters = f" [{stop.letters}]" if stop.letters else ""
        lines += wrapped(f"{stop.subject}: {stop.says}{letters}", f"{_MARKS['stop']:<7}")
        lines += wrapped(f"To clear it: {stop.remedy}", " " * 7)
    return lines


def _signed(view: RoundView) -> list[str]:
    signed = view.signed
    if signed is None:
        return []
    lines = [f"SIGNED by {signed.by}, {signed.at}", f"  Holds until {signed.until} at the latest. It ends before that when"]
    lines += wrapped(signed.ends[0].lower() + signed.ends[1:], "  ")
    if signed.purge:
        lines += ["  Not lit in this round. Before it is lit, purge, last thing before the flame:"]
        lines += [line for purge in signed.purge for line in wrapped(purge, "    - ")]
    return lines


def _drop(drop: DropBox) -> list[str]:
    lines = wrapped(f"LEAK TEST, {drop.heading}: {drop.says}", f"{_MARKS[drop.verdict]:<7}")
    for gauge, readings, means in drop.rows:
        lines += wrapped(f"{readings}: {means}", f"       {gauge:<6}")
    return [*lines, *(wrapped(drop.note.strip(), " " * 7) if drop.note else [])]


def _findings(view: RoundView) -> list[str]:
    lines = ["FINDINGS"]
    for finding in view.findings:
        lines += _finding(finding)
    checks = "check" if view.go_count == 1 else "checks"
    return [*lines, f"{_MARKS['go']:<7}{view.go_count} {checks} go."]


def _finding(finding: FindingRow) -> list[str]:
    letters = f" [{finding.letters}]" if finding.letters else ""
    lines = wrapped(f"{finding.subject}: {finding.says}{letters}", f"{_MARKS[finding.verdict]:<7}")
    return [*lines, *(wrapped(finding.remedy, " " * 7) if finding.remedy else [])]


def _phase(phase: Phase) -> list[str]:
    return [phase.name.upper(), *(line for row in phase.rows for line in _row(row))]


def _row(row: StepRow) -> list[str]:
    """Number, time and answer first: a column to run the eye down; the step beside it."""
    head = f"{row.number:>3}  {row.time or '--:--'}  {row.answer or '(missing)':<{_ANSWER}}"
    if len(row.answer) > _ANSWER:
        lines = [*wrapped(row.answer, head[:12]), *wrapped(row.do, " " * (14 + _ANSWER))]
    else:
        lines = wrapped(row.do, head + "  ")
    return [*lines, *(wrapped(row.note, " " * (14 + _ANSWER)) if row.note else [])]


def _sources(view: RoundView) -> list[str]:
    lines = wrapped(view.advice)
    for source in view.sources:
        lines += wrapped(source.told, f"  {source.letter:<3}")
    return lines


def _floor(view: RoundView) -> list[str]:
    card = view.card
    plates = ", ".join(f"{number} {small} {large}".lower() for number, (small, large) in enumerate(card.floor_plates, 1))
    lines = ["EMERGENCY", *wrapped(f"{card.floor_heading}: {plates}.", "  ")]
    return [*lines, *(line for question, do in card.floor_lines for line in wrapped(f"{question} {do}", "  "))]
