"""The leak test of a station: at what pressure, which leak to reject there, how long to watch, and what each gauge then shows.

One test, worked out once. A needle is read at its ends and rounded both times, nobody need read a temperature, and the weather moves it
too: the wait is until a leak can't hide in all that (`needle.py`), with the gas space at its largest.
"""

import math
from typing import Literal

from steadycone.assembly.ceiling import static_ceiling, wall
from steadycone.assembly.figures import LeakTest, LineFigures, LineTest, SideTest
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.assembly.gauges import gauges, round_step
from steadycone.assembly.needle import NEVER, USUAL, USUAL_EITHER_WAY, Needle, kelvin_worth, pascal_worth
from steadycone.data.reader import toml
from steadycone.errors import OutOfRange
from steadycone.physics.gas import GAS_CONSTANT, dew_pressure
from steadycone.physics.transient.leak import leak_at
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.setup import Setup
from steadycone.units import Duration

LEAST = 60.0  # s, osha-1915-509-drop-test
FINEST = 1000.0  # Pa: no gauge of a regulator has finer marks than 0.01 bar (judged; see leak-longest-watch)


def longest_watch() -> float:
    """s; a gauge that needs longer can't prove its side. Source leak-longest-watch."""
    return Duration.parse(toml("limits.toml")["leak-longest-watch"]["value"]).si


def leak_test(setup: Setup, lines: dict[str, LineFigures], ambient: float, atmosphere: float) -> LeakTest:
    """The test of every line and the one watch for all of them.

    The watch is the policy's wait, or what the slowest gauge needs, in whole minutes up and `longest_watch` at most.
    """
    place = _Place(setup, ambient, atmosphere)
    needles = {name: (place.low(line), place.high(line)) for name, line in lines.items()}
    watch = _watch(setup, [side.needed for sides in needles.values() for side in sides if side.watched])
    reject = setup.policy.leak.reject.amount(lines["fuel"].gas.molar_mass)
    return LeakTest(
        exact(watch, "minutes"),
        exact(reject, "leak"),
        {name: place.line(lines[name], low.told(watch), high.told(watch)) for name, (low, high) in needles.items()},
    )


def _watch(setup: Setup, needed: list[float]) -> float:
    usual = max(setup.policy.leak.wait.si, LEAST)
    longest = max([0.0, *(min(each, longest_watch()) for each in needed)])
    return math.ceil(max(usual, longest) / 60 - 1e-6) * 60.0


def stated_test(setup: Setup, name: str, atmosphere: float) -> float | None:
    """The site's own test pressure [Pa gauge] of a line, None where the file leaves it to the tool."""
    about = setup.station.station
    given = about.test_pressure_fuel if name == "fuel" else about.test_pressure_oxygen
    return None if given is None else given.gauge(atmosphere)


def shut_pressure(setup: Setup, line: LineFigures, atmosphere: float) -> Quantity:
    """The one lock-up number: what the low gauge may rise to with the torch shut. The card prints it, the steps and the round ask it.

    The high end of the static pressure on the gauge's next mark up; where that mark would pass what cap and regulator allow and the
    pressure itself does not, what they allow.
    """
    highest = line.static.high
    if highest is None:
        return unknown("gauge pressure")
    mark = math.ceil(highest / line.outlet_division - 1e-6) * line.outlet_division
    most = static_ceiling(setup, line.name, atmosphere)
    return exact(min(mark, most) if highest <= most else mark, "gauge pressure")


def test_pressure(setup: Setup, line: LineFigures, atmosphere: float) -> Quantity:
    """What to set for the leak test: the site's own, else what the line may rise to with the torch shut, never over cap or regulator.

    Under acetylene's cap room is left for half a mark, which a reading may hide: then it is the last mark below.
    """
    stated = stated_test(setup, line.name, atmosphere)
    if stated is not None:
        return exact(stated, "gauge pressure")
    most, limited_by = wall(setup, line.name, atmosphere)
    if limited_by == "cap":
        most = math.floor((most / line.outlet_division - 0.5) + 1e-6) * line.outlet_division
    return shut_pressure(setup, line, atmosphere).map(lambda shut: min(shut, most))


def growth(static: Quantity, tested: float, atmosphere: float) -> float | None:
    """How many times more leaks at work, at the most it may stand at, than at a test pressure [Pa gauge]; None where it can't be told.

    Source      leak-scaling; the higher end of the band, since what leaks is not known
    """
    if static.high is None or tested <= 0 or static.high <= 0:
        return None
    return max(1.0, leak_at(1.0, tested + atmosphere, static.high + atmosphere, atmosphere).value)


class _Side:
    """One needle with its trapped gas, before the watch is known.

    pressure : Quantity   gauge, as it is told; `stands` [Pa gauge] is what is reckoned with, its highest where that is not known
    more : float   times more that leaks at work than here
    """

    def __init__(
        self, line: LineFigures, volume: Quantity, division: float, pressure: Quantity, stands: float, reject: float, more: float
    ) -> None:
        self.gas, self.unit = line.gas, line.line.regulator.outlet_rating.unit
        self.volume, self.division, self.pressure, self.stands = volume, division, pressure, stands
        self.reject, self.more = reject, more
        self.state = "ok"
        self.needle: Needle | None = None
        self.needed = NEVER

    def worked_out(self, temperature: float, atmosphere: float) -> "_Side":
        """With its needle, unless no fall of it means anything."""
        high = self.volume.high
        assert high is not None
        pressure = self.stands + atmosphere
        try:
            kelvin, worth = kelvin_worth(self.gas, pressure, temperature), pascal_worth(self.gas, high, pressure, temperature)
        except OutOfRange:  # past the gas's table: an ideal gas, a few per cent off
            kelvin, worth = pressure / temperature, high / (GAS_CONSTANT * temperature)
        self.needle = Needle(self.division, kelvin, worth)
        self.needed = self.needle.wait(self.reject / self.more)
        if self.needle.shown(min(self.needed, longest_watch())) > self.stands:
            self.state, self.needed = "low", NEVER
        return self

    @property
    def watched(self) -> bool:
        return self.state in ("ok", "low")

    def told(self, watch: float) -> SideTest:
        """What it shows in the watch [s]; the band is that of the gas space."""
        assert self.volume.value is not None
        assert self.volume.low is not None
        assert self.volume.high is not None
        wait, floor, finer = unknown("minutes"), unknown("leak"), None
        if self.state == "ok" and self.needle is not None:
            high = self.volume.high
            taken, least = self._for(self.volume.value / high), self._for(self.volume.low / high)
            shown = self.needle.floor(watch) * self.more
            wait = band(taken, least, self.needed, "minutes") if self.needed < NEVER else wait
            floor = band(shown * self.volume.value / high, shown * self.volume.low / high, shown, "leak")
        if self.needle is not None and self.needed > longest_watch():
            finer = self._finer(longest_watch())
        return SideTest(self.pressure, self.volume, self.division, exact(self.reject / self.more, "leak"), wait, floor, finer, self.state)

    def _for(self, share: float) -> float:
        """The wait with this share of the largest gas space [s]."""
        assert self.needle is not None
        return Needle(self.needle.step, self.needle.kelvin, self.needle.worth * share).wait(self.reject / self.more)

    def _finer(self, time: float) -> float | None:
        """The usual division [Pa] that would show the leak in a time [s] at this pressure; None = no gauge would."""
        assert self.needle is not None
        wanted = min(self.reject / self.more * time / self.needle.worth, self.stands)
        coarse, fine = self.division, 0.0
        for _ in range(50):
            middle = 0.5 * (coarse + fine)
            enough = Needle(middle, self.needle.kelvin, self.needle.worth).shown(time) <= wanted
            coarse, fine = (coarse, middle) if enough else (middle, fine)
        return round_step(fine, self.unit) if fine >= FINEST else None


class _Place:
    """One station at its ambient and atmosphere, for its sides."""

    def __init__(self, setup: Setup, ambient: float, atmosphere: float) -> None:
        self.setup, self.ambient, self.atmosphere = setup, ambient, atmosphere
        # A reading without a thermometer is judged at the usual temperature: the colder of the two holds more gas to the bar.
        self.temperature = min(ambient, USUAL)

    def low(self, line: LineFigures) -> _Side:
        """Seat to torch valve, at the test pressure, or the highest that could be set where that is not known."""
        tested = test_pressure(self.setup, line, self.atmosphere)
        stands = tested.value if tested.value is not None else static_ceiling(self.setup, line.name, self.atmosphere)
        more = growth(line.static, stands, self.atmosphere) or 1.0
        side = _Side(line, line.proving.trapped_volume, line.outlet_division, tested, stands, self._reject(line), more)
        return side.worked_out(self.temperature, self.atmosphere)

    def high(self, line: LineFigures) -> _Side:
        """Supply valve to seat, at the supply's pressure, or the highest on its gauge where that is not known."""
        found = line.supply.pressure
        stands = found.value if found.value is not None else gauges(line.line.regulator, self.setup.station.station.region).inlet_scale
        side = _Side(line, line.proving.high_volume, line.inlet_division, found, stands, self._reject(line), 1.0)
        if not line.line.supply.has_cylinders and line.line.regulator.inlet_division is None:
            side.state = "no gauge"
            return side
        if self._may_be_liquid(line, stands):
            side.state = "blind"
            return side
        return side.worked_out(self.temperature, self.atmosphere)

    def _may_be_liquid(self, line: LineFigures, stands: float) -> bool:
        """Source      drop-vapour"""
        if liquid_likely(self.setup, line):
            return True
        dew = dew_pressure(line.gas, self.temperature - USUAL_EITHER_WAY)
        return stands + self.atmosphere + 0.5 * line.inlet_division >= dew

    def _reject(self, line: LineFigures) -> float:
        return self.setup.policy.leak.reject.amount(line.gas.molar_mass)

    def line(self, line: LineFigures, low: SideTest, high: SideTest) -> LineTest:
        gauge, watch, high_watch = self._bleed(line, low, high)
        return LineTest(low, high, stated_test(self.setup, line.name, self.atmosphere) is not None, gauge, watch, high_watch)

    def _bleed(self, line: LineFigures, low: SideTest, high: SideTest) -> tuple[Literal["high", "low"], float, float]:
        """Which needle is watched after the bleed, and for how long [s], half minutes up; and how long the high one would take.

        Through a passing valve comes the leak to reject. With the screw out it fills the high side alone; with the screw left in it fills
        both, and shows on the finer low gauge. A pipe's regulator may have no high gauge.

        Source      bleed-and-watch-judged; ideal gas, since it is near zero
        """
        assert high.volume.high is not None
        assert low.volume.high is not None
        mole = GAS_CONSTANT * self.ambient * self._reject(line)
        on_high = high.division * high.volume.high / mole
        on_low = low.division * (high.volume.high + low.volume.high) / mole
        gauge: Literal["high", "low"] = "high" if line.line.supply.has_cylinders and on_high <= max(on_low, LEAST) else "low"
        return gauge, _half_minutes(on_high if gauge == "high" else on_low), _half_minutes(on_high)


def _half_minutes(time: float) -> float:
    return max(LEAST, math.ceil(time / 30 - 1e-6) * 30)


def liquid_likely(setup: Setup, line: LineFigures) -> bool:
    """A cylinder of liquefied fuel: its high side stands at vapour pressure while any liquid is left, whatever a thermometer says.

    Source      drop-vapour
    """
    return line.name == "fuel" and line.line.supply.has_cylinders and setup.station.station.fuel in LIQUEFIED
