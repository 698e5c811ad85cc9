"""The card for a terminal: plain text, 80 columns, worst first; short for the screen, or every figure."""

from steadycone.render.model import FindingLine, Rows, View

WIDTH = 80
_MARKS = {"go": "[ok]", "caution": "[ ! ]", "stop": "[STOP]"}
_LABEL = 24
_MORE = "Every figure, step and source: the same with --all."


def short_card(view: View) -> str:
    """What a lead hand reads first: verdict, what to set, every stop and caution in full, leak test, purge, how long the gas lasts."""
    blocks = [*_front(view), _matters(view), [*wrapped(view.advice), _MORE], _floor(view)]
    return _joined(blocks)


def text_card(view: View) -> str:
    """The whole card as text: every figure, step and source."""
    blocks = [*_front(view), _findings(view), *(_rows(block) for block in view.details)]
    if view.assumed:
        blocks.append(["ASSUMED, since the file does not say", *_pairs(view.assumed)])
    if view.steps and view.signs:
        blocks.append(_steps(view))
    blocks += [_sources(view), ["CAUTIONS", *(line for caution in view.cautions for line in wrapped(caution, "  - "))], _floor(view)]
    return _joined(blocks)


def _joined(blocks: list[list[str]]) -> str:
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _front(view: View) -> list[list[str]]:
    return [_head(view), _settings(view), _boxes(view), _rows(view.as_set) if view.as_set else []]


def wrapped(told: str, lead: str = "", width: int = WIDTH, follow: str | None = None) -> list[str]:
    """The text in lines of at most `width`, the first with its lead, the others indented as far."""
    indent = " " * len(lead) if follow is None else follow
    lines, now, empty = [], lead, True
    for word in told.split(" "):
        if not empty and len(now) + 1 + len(word) > width:
            lines.append(now)
            now, empty = indent, True
        now += word if empty else " " + word
        empty = False
    return [line.rstrip().replace("\u00a0", " ") for line in [*lines, now]]


def _head(view: View) -> list[str]:
    bar = "=" * WIDTH
    place = wrapped(f"{view.place_note[0]}. {view.place_note[1]}") if view.place_note else []
    return [view.name, view.job, *wrapped(view.made), bar, *wrapped(f"{view.verdict_word}. {view.verdict_says}"), *place, bar]


def _settings(view: View) -> list[str]:
    lines = []
    for panel in view.panels:
        unit = f" {panel.unit}" if panel.digits.text != "?" else ""
        digits = ("≈" if panel.digits.style == "estimate" else "") + panel.digits.text + unit
        lines.append(f"{panel.heading:<{_LABEL}}  {digits if panel.sets else 'DO NOT SET'}" + (f"  ({panel.also})" if panel.also else ""))
        lines.append(f"  {panel.how}")
        if panel.needs:
            lines.append(f"  {panel.needs} {panel.digits.text}.")
        for label, value, _ in panel.rows:
            shown = value if not panel.sets or value == "?" else f"{value} {panel.unit}"
            lines.append(f"  {label:<{_LABEL - 2}}  {shown}".replace("\u00a0", " "))
    return lines


def _boxes(view: View) -> list[str]:
    lines = []
    for box in view.boxes:
        names = {"ox": "oxygen ", "fu": "fuel ", None: ""}
        numbers = ", ".join(f"{names[side]}{number} {unit}".strip() for side, number, unit in box.numbers)
        lines += wrapped(f"{numbers}. {box.note}", f"{box.heading:<{_LABEL}}  ")
    return lines


def _rows(block: Rows) -> list[str]:
    return [block.heading.upper(), *_pairs(block.rows)]


def _pairs(rows: tuple[tuple[str, str], ...]) -> list[str]:
    return [line for label, value in rows for line in wrapped(value, f"  {label:<{max(_LABEL, len(label) + 2) - 2}}  ")]


def _findings(view: View) -> list[str]:
    lines = ["FINDINGS"]
    for finding in view.findings:
        lines += _finding(finding)
    if view.go_count:
        checks = "check" if view.go_count == 1 else "checks"
        lines += wrapped(f"{view.go_count} {checks} go. {view.go_summary}", f"{_MARKS['go']:<7}")
    return [*lines, *wrapped(f"Never {', '.join(view.never)}.", " " * 7)]


def _matters(view: View) -> list[str]:
    """Stops and cautions in full, without the letters of sources that are not listed; the rest as a count."""
    lines = [line for finding in view.findings for line in _finding(finding, letters=False)]
    if view.go_count:
        lines.append(f"{_MARKS['go']:<7}{view.go_count} check{'' if view.go_count == 1 else 's'} go.")
    return ["FINDINGS", *lines]


def _finding(finding: FindingLine, *, letters: bool = True) -> list[str]:
    lead = f"{_MARKS[finding.verdict]:<7}"
    letter = f" [{finding.letters}]" if finding.letters and letters else ""
    says = finding.says or finding.detail
    lines = wrapped(f"{finding.subject}: {says}{letter}", lead)
    if finding.remedy:
        lines += wrapped(finding.remedy, " " * 7)
    return lines


def _steps(view: View) -> list[str]:
    lines = ["STEPS"]
    phase = ""
    for number, (now, do, _) in enumerate(view.steps, 1):
        if now != phase:
            phase = now
            lines.append(f"  {phase}")
        lines += wrapped(do, f"  {number:>3}. ")
    return lines


def _sources(view: View) -> list[str]:
    lines = [*wrapped(view.advice), *wrapped(view.chart_note)]
    for source in view.sources:
        lines += wrapped(source.told, f"  {source.letter:<3}")
    return lines


def _floor(view: View) -> list[str]:
    plates = ", ".join(f"{number} {small} {large}".lower() for number, (small, large) in enumerate(view.floor_plates, 1))
    lines = ["EMERGENCY", *wrapped(f"{view.floor_heading}: {plates}.", "  ")]
    return [*lines, *(line for question, do in view.floor_lines for line in wrapped(f"{question} {do}", "  "))]
