"""A part that other torches draw through as well."""

from dataclasses import dataclass

from steadycone.physics.flow.line import Element


@dataclass(frozen=True, slots=True)
class Shared:
    """An element of a line that carries `others` [kg/s], 0 or more, beside the line's own flow.

    Holds for   the same gas in both; the others' flow stays as it is, whatever this line does.
    Source      derived: the element's own law at the sum of both flows
    """

    element: Element
    others: float

    def upstream(self, outlet_pressure: float, mass_flow: float) -> float:
        """Inlet pressure [Pa] for an outlet pressure [Pa] and the line's own flow [kg/s]."""
        return self.element.upstream(outlet_pressure, mass_flow + self.others)

    def upstream_slopes(self, outlet_pressure: float, mass_flow: float) -> tuple[float, float, float]:
        """The same, with derivatives by outlet pressure [-] and flow [Pa s/kg]."""
        return self.element.upstream_slopes(outlet_pressure, mass_flow + self.others)

    def downstream(self, inlet_pressure: float, mass_flow: float) -> float | None:
        """Outlet pressure [Pa], or None where both flows together do not pass."""
        return self.element.downstream(inlet_pressure, mass_flow + self.others)

    def chokes(self, outlet_pressure: float, mass_flow: float) -> bool:
        """Whether both flows together are all it can pass."""
        return self.element.chokes(outlet_pressure, mass_flow + self.others)

    def resistance(self) -> float:
        """For first guesses."""
        return self.element.resistance()
