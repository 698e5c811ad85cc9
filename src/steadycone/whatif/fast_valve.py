"""The oxygen cylinder valve opened fast: the gas caught in front of the closed end is squeezed hot."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from steadycone.card.card import Card
from steadycone.errors import InputError
from steadycone.physics.gas import filled_temperature
from steadycone.physics.transient.slam import Opening, slammed_temperature
from steadycone.quantity import Quantity, exact
from steadycone.units import Length
from steadycone.whatif.bands import Given, banded, corners, middle
from steadycone.whatif.common.rig import Rig, rig_of
from steadycone.whatif.frame import Chart, Curve, Frame, LineFrame, Outcome, Point, Prevention, WithRuns
from steadycone.whatif.settings import Seconds, setting, whatif

SLOW = 10.0  # s: what a slow opening is compared with
_KINDS = {
    "end_temperature": "temperature", "slow_temperature": "temperature", "limit_temperature": "temperature",
    "mixed_temperature": "temperature", "pressure": "gauge pressure",
}  # fmt: skip
_SHOWN = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0)  # s, of the curve


@whatif
class FastValve(WithRuns):
    """The oxygen cylinder valve opened fast: how hot the gas at the regulator's closed end gets, against a slow opening."""

    seconds: Seconds = setting(Seconds, "in which the regulator comes to the cylinder's pressure; a snapped valve takes a tenth", "0.1")
    bore: Length | None = setting(Length, "of the passage at the closed end; left out: 6 mm, 3 to 10 mm")
    example: ClassVar = "seconds=0.1"

    def answer(self, card: Card) -> Outcome:
        rig = rig_of(card)
        asked = _Asked(rig, self.seconds.si, self.bore.si if self.bore else None)
        numbers = banded(asked.numbers, asked.inputs, _KINDS, self.runs, self.seed)
        warm = (numbers["end_temperature"].high or 0.0) - rig.temperature
        cold = (numbers["slow_temperature"].value or 0.0) - rig.temperature
        return Outcome(
            name="fast-valve",
            state="hot" if warm > 3.0 * max(cold, 1.0) else "slow",
            numbers=numbers,
            reason="squeezed",
            series={"temperature_by_opening": asked.series()},
            frames=asked.frames(numbers),
            charts=(asked.chart(),),
            prevented_by=tuple(Prevention(key) for key in ("slowly", "screw-out", "clean", "aside")),
            not_trusted=("slug", "wall", "ignition"),
            sources=("oxygen-vibration", "oxygen-conductivity", "judged-passage", "regulator-flash-report"),
            blanks={
                "time": exact(self.seconds.si, "seconds"),
                "slow": exact(SLOW, "seconds"),
                "ambient": exact(rig.temperature, "temperature"),
            },
            band="runs" if self.runs else "ends",
            runs=self.runs,
        )


@dataclass(frozen=True)
class _Asked:
    rig: Rig
    seconds: float
    bore: float | None

    @property
    def inputs(self) -> Mapping[str, Quantity]:
        """Raises  InputError: the cylinder's pressure is not known."""
        pressure = self.rig.line("oxygen").supply.pressure
        if pressure.value is None or pressure.value <= 0.0:
            raise InputError("the pressure of the oxygen supply is not known", where="oxygen.supply.pressure", try_="Give it.")
        bore = exact(self.bore, "length") if self.bore else Quantity(0.006, 0.003, 0.010, "length")
        return {"pressure": pressure.map(lambda p: max(p, 0.0) + self.rig.atmosphere), "bore": bore}

    def opening(self, given: Given) -> Opening:
        return Opening(self.rig.atmosphere, given["pressure"], self.rig.temperature, given["bore"])

    def numbers(self, given: Given) -> dict[str, float | None]:
        rig, opened = self.rig, self.opening(given)
        return {
            "end_temperature": opened.hottest(self.seconds),
            "slow_temperature": opened.hottest(SLOW),
            "limit_temperature": slammed_temperature(rig.atmosphere, given["pressure"], rig.temperature),
            "mixed_temperature": filled_temperature(rig.oxygen, rig.atmosphere, given["pressure"], rig.temperature),
            "pressure": given["pressure"] - rig.atmosphere,
        }

    def series(self) -> tuple[Point, ...]:
        opened = self.opening(middle(self.inputs))
        return tuple({"time": exact(t, "seconds"), "temperature": exact(opened.hottest(t), "temperature")} for t in _SHOWN)

    def chart(self) -> Chart:
        every = [self.opening(given) for given in (middle(self.inputs), *corners(self.inputs))]
        columns = [[one.hottest(t) for one in every] for t in _SHOWN]
        points = tuple((t, column[0]) for t, column in zip(_SHOWN, columns, strict=True))
        curve = Curve("hottest", points, tuple(map(min, columns)), tuple(map(max, columns)), "ox")
        return Chart("opening", "seconds", "temperature", (curve,))

    def frames(self, numbers: Mapping[str, Quantity]) -> tuple[Frame, ...]:
        """Valve shut, opened fast, opened slowly: the temperatures stand in the captions."""
        pressure = numbers["pressure"].value
        return tuple(Frame(None, self._lines(supply), key) for key, supply in (("first", 0.0), ("fast", pressure), ("slow", pressure)))

    def _lines(self, supply: float | None) -> tuple[LineFrame, ...]:
        found = []
        for name in self.rig.figures.lines:
            oxygen, parts = name == "oxygen", len(self.rig.line(name).parts)
            found.append(LineFrame(name, (0.0 if oxygen else None,) * (parts + 1), supply=supply if oxygen else None, valve="shut"))
        return tuple(found)
