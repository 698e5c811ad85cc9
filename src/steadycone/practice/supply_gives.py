"""What the supply gives: pressure enough for the regulator to the end of the job, and vapour enough for the draw.

LPG of unknown composition is judged as the least volatile that is sold under the name. Where the most volatile would do, that is a caution
to find out what it is, with the usual mixture's number; where not even that would do, a stop.
"""

from dataclasses import replace
from math import ceil

from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.resupply import with_supply
from steadycone.physics.gas import Gas
from steadycone.physics.supply.lpg import worst_of
from steadycone.practice.finding import Finding
from steadycone.practice.judging import ends, higher, not_above, not_below, word
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, exact, unknown

_HEAVIEST = {"lpg": "butane", "mps": "methylacetylene"}


def pressure(figures: Figures, line: LineFigures) -> list[Finding]:
    """supply-pressure-low: the supply must stand above the setting by what the regulator needs for itself."""
    finding = _pressure(line)
    if finding is None:
        return []
    if finding.verdict == "go" or not _unknown_mix(figures, line):
        return [finding]
    usual, best = (_pressure(_if_made_of(figures, line, gas)) for gas in _usual_and_best(figures))
    if usual is None or best is None or best.verdict == "stop":
        return [best or finding]
    blanks: dict[str, Quantity | str] = {"heaviest": _heaviest(figures), "likely": usual.judged or unknown("gauge pressure")}
    return [replace(finding, verdict="caution", blanks=blanks, text="mix")]


def vaporisation(figures: Figures, line: LineFigures) -> list[Finding]:
    """lpg-vaporisation: the average draw against what the walls evaporate, with the number of cylinders that would do."""
    finding = _vaporisation(figures, line)
    if finding is None:
        return []
    if finding.verdict != "stop" or not _unknown_mix(figures, line):
        return [finding]
    usual, best = (_vaporisation(figures, _if_made_of(figures, line, gas)) for gas in _usual_and_best(figures))
    if usual is None or best is None or best.verdict == "stop":
        return [best or finding]
    shown, text = (best, "mix light") if usual.verdict == "stop" else (usual, "mix")
    blanks: dict[str, Quantity | str] = {"heaviest": _heaviest(figures), "lightest": _usual_and_best(figures)[1].name}
    return [replace(finding, verdict="caution", blanks=blanks | {"likely": shown.limit or unknown("flow")}, text=text)]


def _subject(line: LineFigures) -> str:
    return f"{word(line)} supply"


def _heaviest(figures: Figures) -> str:
    return _HEAVIEST.get(figures.setup.station.station.fuel, "heavy gas")


def _unknown_mix(figures: Figures, line: LineFigures) -> bool:
    return line.name == "fuel" and not figures.fuel_known and line.supply.vaporisation is not None


def _usual_and_best(figures: Figures) -> tuple[Gas, Gas]:
    """The usual mixture, and the most volatile gas that is sold under this fuel's name."""
    return figures.fuel_stored, worst_of(figures.fuel_stored.name)[1]


def _if_made_of(figures: Figures, line: LineFigures, gas: Gas) -> LineFigures:
    """The line as if the cylinder were known to hold this gas."""
    return with_supply(replace(figures, fuel_known=True, fuel_stored=gas), "fuel", line.line.supply).lines["fuel"]


def _pressure(line: LineFigures) -> Finding | None:
    asked = ends(higher(line.flowing, line.set_pressure))
    if asked is None:
        return None
    supply, cylinders = line.supply, line.line.supply.has_cylinders
    at_end = cylinders and ends(supply.pressure_at_end) is not None
    stands = supply.pressure_at_end if at_end else supply.pressure
    if ends(stands) is None and cylinders and ends(supply.contents) is None:
        return None  # contents-unknown says it
    if not cylinders:
        return _piped(line, stands, asked.high)
    least, times, plus = limit("supply-over-setting"), limit("supply-rated-times"), limit("supply-rated-plus")
    stop = asked.high + least.si
    # The rated flow of a cylinder regulator is stated for this inlet.
    caution = max(stop, times.si * asked.high + plus.si)
    finding = not_below("supply-pressure-low", _subject(line), stands, stop=stop, caution=caution, sources=(least.source, times.source))
    if finding.text or finding.verdict == "go":
        return finding
    liquid = " liquid" if supply.vaporisation is not None else ""
    return replace(finding, text=f"{finding.verdict} {'at end' if at_end else 'now'}{liquid}")


def _piped(line: LineFigures, stands: Quantity, asked: float) -> Finding:
    """An outlet point's regulator works on a share of its setting, at low pressure far less than a cylinder's does.

    Source      supply-pipe-over
    """
    most = limit("supply-over-setting").si

    def over(name: str) -> float:
        return asked + min(most, max(limit(f"supply-pipe-{name}").si * asked, limit(f"supply-pipe-{name}-least").si))

    source = limit("supply-pipe-stop").source
    finding = not_below("supply-pressure-low", _subject(line), stands, stop=over("stop"), caution=over("caution"), sources=(source,))
    return finding if finding.text or finding.verdict == "go" else replace(finding, text=f"{finding.verdict} pipe")


def _vaporisation(figures: Figures, line: LineFigures) -> Finding | None:
    supply, subject = line.supply, _subject(line)
    drawn = ends(supply.average)
    if supply.vaporisation is None or drawn is None:
        return None
    evaporates = ends(supply.vaporisation)
    if evaporates is None:
        empty = unknown("flow")
        return Finding("lpg-vaporisation", "caution", subject, supply.average, empty, empty, ("lpg-wall",), {}, "unknown")
    finding = not_above("lpg-vaporisation", subject, supply.average, stop=evaporates.low, sources=("lpg-wall",))
    if finding.verdict == "go":
        return finding
    if evaporates.low <= 0.0:
        return replace(finding, blanks={"ambient": exact(figures.ambient, "temperature")}, text="none")
    enough = ceil(drawn.high * line.line.supply.cylinders / evaporates.low * (1 - 1e-9))
    return replace(finding, blanks={"cylinders": str(enough)}, text="many" if enough > limit("most-coupled").si else "")
