"""A cylinder that runs out while the torch burns: when it can no longer hold its setting, when the flame goes, what then runs back."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from steadycone.assembly.fuels import LIQUEFIED
from steadycone.assembly.station import network
from steadycone.assembly.supply import water_volume
from steadycone.errors import OutOfRange
from steadycone.physics.flow import Station, solve
from steadycone.physics.gas import GAS_CONSTANT, amount_stored
from steadycone.physics.supply import lpg
from steadycone.physics.supply.acetylene import mass_from_pressure, solvent_of
from steadycone.physics.transient.blowdown import run_down_time
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.units import Pressure
from steadycone.whatif.bands import Given
from steadycone.whatif.common.back import VALVES, Back, Valve
from steadycone.whatif.common.doubts import SOURCES, doubts, preventions
from steadycone.whatif.common.pushed import Pushed
from steadycone.whatif.common.rig import Rig
from steadycone.whatif.frame import Outcome, Prevention
from steadycone.whatif.settings import Seconds

OVER_SETTING = 0.5e5  # Pa a supply must stand above what its regulator gives: supply-over-setting
FLAME_GONE = 0.05  # share of the chart's flow below which there is no flame to speak of: judged-flame-gone
_KEYS = ("front", "hose_filled_after", "reverse_flow", "burnable_length")  # of what is pushed back


@dataclass(frozen=True)
class Emptied:
    """One line's cylinders, drawn to the end at the card's flow. `name` : fuel, or the line that brings the preheat oxygen."""

    rig: Rig
    name: str

    @cached_property
    def station(self) -> Station:
        rig, setup = self.rig, self.rig.figures.setup
        fitted = rig.openings(rig.mixing_shares.value or 0.5)
        return network(setup, rig.fuel, rig.oxygen, fitted, rig.as_taken, rig.temperature, rig.atmosphere)

    @cached_property
    def settings(self) -> dict[str, float]:
        """Flowing pressures [Pa abs]."""
        return {name: (self.rig.regulator(name).flowing.value or 0.0) + self.rig.atmosphere for name in self.rig.figures.lines}

    def flows(self, pressure: float) -> tuple[float, float]:
        """What is drawn and what the flame gets [mol/s] with the emptied regulator giving a pressure [Pa abs]."""
        given = self.settings | {self.name: pressure}
        found = solve(self.station, given["oxygen"], given["fuel"], given.get("preheat_oxygen"))
        mass = self.rig.gas(self.name).molar_mass
        if self.name == "fuel":
            return found.fuel_flow / mass, found.fuel_flow / mass
        drawn = found.preheat_flow if self.name == "preheat_oxygen" else found.oxygen_flow
        return drawn / mass, found.preheat_flow / mass

    @property
    def holds_down_to(self) -> float:
        """Cylinder pressure [Pa abs] below which the outlet follows it down."""
        return self.settings[self.name] + OVER_SETTING

    def amount(self, pressure: float) -> float | None:
        """mol in all its cylinders at a pressure [Pa abs]; None where the file does not tell their size."""
        rig, line = self.rig, self.rig.line(self.name)
        supply, gas = line.line.supply, rig.figures.fuel_stored if self.name == "fuel" else rig.oxygen
        count = supply.cylinders
        full = line.supply.full.value
        if gas.name == "acetylene":
            if full is None:
                return None
            solvent = supply.solvent.si if supply.solvent else solvent_of(full / count * gas.molar_mass)[1]
            return count * mass_from_pressure(pressure, solvent, rig.temperature) / gas.molar_mass
        if gas.name in LIQUEFIED:
            if full is None:
                return None
            room = supply.water_volume.si if supply.water_volume else full / count * gas.molar_mass / lpg.FILLING_RATIO * 1e-3
            return count * pressure * room / (GAS_CONSTANT * rig.temperature)
        volume = water_volume(supply, gas, rig.figures.setup.station.station.region, rig.atmosphere)
        return None if volume is None else count * amount_stored(gas, volume, pressure, rig.temperature)

    def times(self) -> dict[str, Quantity]:
        """starved_after and out_after; left out for a supply that is not in cylinders."""
        line = self.rig.line(self.name)
        if not line.line.supply.has_cylinders:
            return {}
        left, drawn = line.supply.contents, line.supply.drawn
        rest = self.amount(self.holds_down_to)
        if rest is None or left.value is None or not drawn.value or not drawn.low or not drawn.high:
            return {"starved_after": unknown("minutes"), "out_after": unknown("minutes")}
        starved = band(
            max(0.0, left.value - rest) / drawn.value,
            max(0.0, (left.low or 0.0) - rest) / drawn.high,
            max(0.0, (left.high or left.value) - rest) / drawn.low,
            "minutes",
        )
        fading = self._fading()
        return {"starved_after": starved, "out_after": starved if fading is None else starved.map(lambda t: t + fading)}

    def _fading(self) -> float | None:
        """Seconds from the first fall of the outlet to a flame that is gone."""
        top = self.settings[self.name]
        _, whole = self.flows(top)
        if whole <= 0.0:
            return None
        low, high = self.rig.atmosphere, top
        for _ in range(24):
            middle = 0.5 * (low + high)
            low, high = (low, middle) if self.flows(middle)[1] > FLAME_GONE * whole else (middle, high)
        held = {p: self.amount(p) or 0.0 for p in (self.holds_down_to, top)}
        first = (held[self.holds_down_to] - held[top]) / self.flows(top)[0]
        try:
            return first + run_down_time(lambda p: self.amount(p) or 0.0, lambda p: self.flows(p)[0], top, high, 6)
        except OutOfRange:  # it stops by itself before: then it fades no further
            return first


@dataclass(frozen=True)
class RanOut:
    """The settings of both what-ifs of this kind, filled."""

    name: str  # of the emptied line
    seconds: Seconds
    check_valve: str | None
    left: Pressure
    tip: str
    runs: int
    seed: int

    def answer(self, rig: Rig) -> Outcome:
        if not self.seconds.si > 0.0:
            raise OutOfRange("some time must pass", where="seconds", try_="Give for example seconds=60.")
        emptied = Emptied(rig, self.name)
        pushed = self._pushed(rig)
        back = pushed.quantities(self.runs, self.seed)
        numbers = {**emptied.times(), **{key: back[key] for key in _KEYS if key in back}}
        pushes = pushed.case.pushes()
        into = "none" if not pushes else "oxygen into fuel" if self.name == "fuel" else "fuel into oxygen"
        state = self._state(pushed)
        return Outcome(
            name=f"empty-{'fuel' if self.name == 'fuel' else 'oxygen'}",
            state=state,
            numbers=numbers,
            reason=state if state in ("held", "balanced", "drawn", "leaking") else "runs",
            words={"direction": into},
            series={"front_at": pushed.front_at()},
            frames=pushed.frames({"first": "first", "between": "between", "last": state}, "BLOCKED" if self.tip == "blocked" else ""),
            charts=(pushed.chart(self.runs, self.seed),) if pushes else (),
            prevented_by=(
                *preventions(rig, self.name, pushed.back.valve),
                *(Prevention(key) for key in ("count", "shut", "leave-some", "purge")),
            ),
            not_trusted=("left", "draw", *doubts(pushed), *(("injector",) if pushed.case.path.injector else ())),
            sources=(*SOURCES, "supply-over-setting", "judged-flame-gone", *(("memory-reverse-leak",) if state == "leaking" else ())),
            blanks=self._blanks(pushed),
            band="runs" if self.runs else "ends",
            runs=self.runs,
        )

    def _pushed(self, rig: Rig) -> Pushed:
        donor = rig.preheat if self.name == "fuel" else "fuel"
        gives, air = rig.regulator(donor), rig.atmosphere
        far = self.left.abs(air)
        valve: Valve = next((v for v in VALVES if v == self.check_valve), "good" if rig.check_valve(self.name) else "none")
        inputs: Mapping[str, Quantity] = {
            "static": Quantity(gives.static.value, gives.flowing.low, gives.static.high, "gauge pressure").map(lambda p: p + air),
            "opening": exact(1.0, "number"),
            "mixing": rig.mixing_shares,
        }

        def make(given: Given) -> Back:
            return Back(
                donor, self.name, given["static"], gives.droop, far, 0.0, given["opening"], given["mixing"], valve,
                port=1.0 if self.tip == "open" else 0.0, far=far,
            )  # fmt: skip

        return Pushed(rig, inputs, make, self.seconds.si)

    @staticmethod
    def _state(pushed: Pushed) -> str:
        if pushed.back.valve == "good":
            return "held"
        if not pushed.case.pushes():
            return "drawn" if pushed.case.path.injector else "balanced"
        if pushed.back.valve == "leaking":
            return "leaking"
        return "through" if (pushed.case.lumped(pushed.time).filled or pushed.time) < pushed.time else "running"

    @staticmethod
    def _blanks(pushed: Pushed) -> dict[str, Quantity | str]:
        air = pushed.rig.atmosphere
        return {
            "push": exact(max(0.0, pushed.case.feed.top - air), "gauge pressure"),
            "left_pressure": exact(pushed.back.start - air, "gauge pressure"),
            "time": exact(pushed.time, "seconds"),
        }
