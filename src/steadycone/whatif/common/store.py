"""The fuel cylinder of a station as a store that can be drawn: what is in one, what feeds the regulator, what the draw rule allows."""

from dataclasses import dataclass

from steadycone.assembly.figures import Figures
from steadycone.errors import InputError
from steadycone.physics.supply import lpg
from steadycone.physics.supply.acetylene import HEAT_OF_DESORPTION, PRESSURE_DOUBT, solvent_of
from steadycone.physics.transient.dissolved import HEAT_BAND, WALL_BAND, Dissolved
from steadycone.physics.transient.liquid import Liquid
from steadycone.physics.transient.shift import Store
from steadycone.practice.limits import limit
from steadycone.quantity import Quantity, band, exact
from steadycone.whatif.bands import Given, Inputs

_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class Kept:
    """One cylinder of the fuel: its uncertain inputs, and how a set of them becomes a store. count : like cylinders on the station."""

    figures: Figures
    count: int
    full: float  # kg
    inputs: Inputs

    @property
    def dissolved(self) -> bool:
        return self.figures.fuel.name == "acetylene"

    def store(self, given: Given) -> Store:
        """Raises  OutOfRange: contents that cannot be, or an LPG outside -40..60 °C."""
        if self.dissolved:
            return Dissolved(self.full, given["mass"], given["solvent"], given["heat"], given["wall"], given["pressure"])
        mass = min(given["mass"], self.full)
        # LPG of unknown composition is judged as the worst; only a better wall than described goes with the better liquid
        fuel = self.figures.fuel_stored if self.figures.fuel_known or given["wall"] > lpg.WALL_TRANSFER else lpg.worst_lpg()
        return Liquid(fuel, self.full, mass, self.figures.ambient, given["wall"])


def kept(figures: Figures) -> Kept | None:
    """The fuel's cylinder, or None where it is no store that chills (compressed gas, or a supply that only states its flow).

    Raises  InputError: acetylene or LPG in cylinders whose contents the file does not tell.
    """
    line = figures.lines["fuel"]
    if not line.line.supply.has_cylinders or (figures.fuel.name != "acetylene" and line.supply.vaporisation is None):
        return None
    supply, count = line.supply, line.line.supply.cylinders
    if supply.full.value is None or supply.contents.value is None:
        raise InputError("what the fuel cylinder holds is not known", where="fuel.supply", try_="Give content, and gross with tare.")
    one = figures.fuel_stored.molar_mass / count
    full, mass = supply.full.value * one, supply.contents.map(lambda moles: moles * one, "mass")
    if figures.fuel.name != "acetylene":
        low, high = lpg.WALL_TRANSFER_BAND
        return Kept(figures, count, full, {"mass": mass, "wall": band(lpg.WALL_TRANSFER, low, high, "number")})
    given = line.line.supply.solvent
    least, usual, most = (given.si,) * 3 if given else solvent_of(full)
    inputs = {
        "mass": mass,
        "solvent": band(usual, least, most, "mass"),
        "heat": band(HEAT_OF_DESORPTION, *HEAT_BAND, "number"),
        "wall": band(1.0, *WALL_BAND, "number"),
        "pressure": band(1.0, 1 - PRESSURE_DOUBT, 1 + PRESSURE_DOUBT, "number"),
    }
    return Kept(figures, count, full, inputs)


def feed_pressure(figures: Figures, dissolved: bool) -> float:
    """Least cylinder pressure [Pa absolute] that feeds the fuel's regulator at what is set.

    Source      shift-feed
    """
    line = figures.lines["fuel"]
    asked = max(line.set_pressure.value or 0.0, line.flowing.value or 0.0) + limit("supply-over-setting").si
    return figures.atmosphere + (asked if dissolved else max(asked, lpg.FEED_PRESSURE))


def draw_limit(figures: Figures, time: float) -> Quantity | None:
    """The whole supply's flow [mol/s] that the draw rule leaves at *go* for a steady draw over a time [s]; None: not acetylene.

    Source      the policy's draw
    """
    if figures.fuel.name != "acetylene":
        return None
    line, draw = figures.lines["fuel"], figures.setup.policy.draw
    long = time > draw.long.si
    both = (draw.long_stop, draw.long_caution) if long else (draw.stop, draw.caution)
    found = []
    for rule in both:
        if rule.flow is not None:
            found.append(exact(rule.flow.amount(figures.fuel.molar_mass) * line.line.supply.cylinders, "flow"))
            continue
        share, falls = rule.si / _HOUR, time if draw.of == "end of job" else 0.0
        held = line.supply.full if draw.of == "full" else line.supply.contents
        found.append(held.map(lambda moles, share=share, falls=falls: share * moles / (1.0 + share * falls), "flow"))  # type: ignore[misc]
    return min(found, key=lambda one: one.value if one.value is not None else 0.0)
