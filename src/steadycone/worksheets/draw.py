"""How much may be drawn from a fuel cylinder, and how many a flow needs."""

from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.kinds import Hours
from steadycone.station.policy import DrawLimit
from steadycone.units import GasAmount, GasFlow
from steadycone.worksheets.declare import GAS, Answer, Composition, WithVolumes, ask, gas_of, shown, worksheet


@worksheet
class Draw(WithVolumes):
    """Allowed flow from one cylinder, and cylinders for a flow.

    By capacity the rule is a share of the full content; by contents it is a share of what is left when the hours are over,
    which is stricter. Either way the cylinders also hold gas enough for the hours.
    """

    fuel: str = ask(GAS, "usually acetylene", "acetylene")
    capacity: GasAmount | None = ask(GasAmount, "full content of one cylinder", optional=True)
    contents: GasAmount | None = ask(GasAmount, "left now in one cylinder", optional=True)
    rule: DrawLimit = ask(DrawLimit, "share an hour, 1/7 1/10 1/15, or a flow from one cylinder")
    flow: GasFlow | None = ask(GasFlow, "wanted from all of them", optional=True)
    hours: Hours = ask(Hours, "that the flow runs", "0")
    composition: dict[str, float] | None = ask(Composition, "of lpg, by amount", optional=True)
    either: ClassVar = ((("capacity",), ("contents",)),)
    example: ClassVar = 'capacity="8 kg" rule="1/7" flow="1.2 m3/h" hours=2'

    def answer(self) -> Answer:
        from steadycone.physics.supply import draw

        molar_mass = gas_of(self.fuel, self.composition, "fuel").molar_mass
        given = self.contents or self.capacity
        assert given is not None
        contents = given.amount(molar_mass)
        if not contents > 0.0:
            raise OutOfRange(f'"{given.text}" is nothing to draw from', where="contents" if self.contents else "capacity")
        limit = self._limit(contents, molar_mass)
        found: Answer = {"limit_m3_per_h": shown("flow", limit)}
        if self.flow is not None:
            flow = self.flow.amount(molar_mass)
            by_rate = draw.cylinders_needed(flow, limit)
            by_gas = draw.cylinders_needed(flow * self.hours.si, contents)
            if by_rate is None or by_gas is None:
                raise OutOfRange("the rule allows no flow at all", where="rule")
            found["cylinders"] = max(by_rate, by_gas)
        return found

    def _limit(self, contents: float, molar_mass: float) -> float:
        """mol/s from one cylinder."""
        from steadycone.physics.supply.draw import share_limit

        if self.rule.flow is not None:
            return self.rule.flow.amount(molar_mass)
        if not 0.0 < self.rule.si <= 1.0:
            raise OutOfRange(f'a rule of "{self.rule.text}" must be above 0 and at most all of it an hour', where="rule")
        limit = share_limit(contents, self.rule.si)
        if self.contents is None:
            return limit
        # the largest f with f <= share x (contents - f x hours)
        return limit / (1.0 + self.rule.si * self.hours.si / 3600.0)
