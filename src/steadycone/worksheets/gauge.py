"""A gauge against a master gauge."""

from typing import ClassVar

from steadycone.errors import OutOfRange
from steadycone.practice.bench_gauge import Pair
from steadycone.units import Number, Pressure, PressureDifference
from steadycone.worksheets.declare import Answer, AtPressure, ask, banded, worksheet
from steadycone.worksheets.kinds import GaugePair, GaugePairs

USUAL_CLASS = 2.5  # of a regulator's gauge: gauge-class
CLASSES = ("as given", "class 2.5 is usual on regulators, from memory (medium confidence)")


class Scale(Pressure):
    """A gauge's full scale, above the air around."""

    kind, example = "full scale", "16 bar"

    def _check(self) -> None:
        super()._check()
        if self.absolute or not self.si > 0.0:
            raise OutOfRange(f'full scale "{self.text}" must be a gauge pressure above 0', try_=f'Write for example "{self.example}".')


@worksheet
class Gauge(AtPressure):
    """Error of a gauge against a master, in per cent of full scale, and whether it is proved within its class.

    The error shown is the worst, with what last digits and master leave open; below 0 the gauge reads low. The verdict is at its unsafe end.
    Never go with fewer than three readings from drained to near the top, or with a master of unknown class. A plain 0 counts as read to the
    finest digit written of the same gauge.
    """

    readings: tuple[GaugePair, ...] = ask(GaugePairs, "master/gauge, going up and coming down")
    full_scale: Scale = ask(Scale, "of the gauge under test")
    gauge_class: Number | None = ask(Number, "per cent of full scale it may be off; left out: 2.5", optional=True)
    master_class: Number | None = ask(Number, "of the master; left out: a quarter of gauge_class, and never go", optional=True)
    master_full_scale: Scale | None = ask(Scale, "of the master; left out: full_scale", optional=True)
    readability: PressureDifference | None = ask(
        PressureDifference, "smallest change one can read on the gauge; left out: its last digit written", optional=True
    )
    example: ClassVar = (
        'readings="0.00 bar/0.05 bar; 5.00 bar/5.1 bar; 10.00 bar/10.2 bar; 14.00 bar/14.2 bar" full_scale="16 bar" '
        'gauge_class=2.5 master_class=0.6 readability="0.1 bar"'
    )

    def answer(self) -> Answer:
        from steadycone.practice import bench_gauge as rule
        from steadycone.practice.bench import Ends

        gauge_class = self.gauge_class.si if self.gauge_class else USUAL_CLASS
        if not gauge_class > 0.0:
            raise OutOfRange("the class must be above 0", where="gauge_class")
        master_scale = (self.master_full_scale or self.full_scale).si
        known = self.master_class is not None
        master = rule.master_doubt(gauge_class, self.master_class.si if self.master_class else None, master_scale)
        finest = [min(each.half_digit for each in side) for side in zip(*self.readings, strict=True)]
        pairs = [self._pair(pair, number, master_scale, finest) for number, pair in enumerate(self.readings, start=1)]
        worst = rule.worst_pair(pairs)
        each = 100.0 / self.full_scale.si
        doubt = worst.doubt + master
        error = Ends(worst.error * each, (worst.error - doubt) * each, (worst.error + doubt) * each)
        verdict, says = rule.judge_gauge(error, gauge_class, rule.covers(pairs, self.full_scale.si), known, worst.doubt * each)
        found = banded("error_percent", *error)
        found |= {"worst_at_bar_gauge": worst.master / 1e5, "reads_low_bar": max(0.0, *(-pair.error for pair in pairs)) / 1e5}
        found |= {"errors_percent": ", ".join(f"{pair.error * each:+.2f}" for pair in pairs), "limit_percent": gauge_class}
        told = CLASSES[self.gauge_class is None]
        source = f"class {gauge_class:g} may be off {gauge_class:g} % of full scale, EN 837-1 at second hand; {told}"
        return found | {"verdict": verdict, "limit_source": source, "says": says}

    def _pair(self, pair: GaugePair, number: int, master_scale: float, finest: list[float]) -> Pair:
        for name, reading, scale in (("master", pair.master, master_scale), ("gauge", pair.gauge, self.full_scale.si)):
            self.absolute(reading)
            if reading.gauge(self.atmosphere.si) > scale * (1.0 + 1e-9):
                raise OutOfRange(
                    f'{name} "{reading.text}" is over its full scale',
                    where=f"readings, pair {number}",
                    try_="Check the unit and the scale.",
                )
        master, gauge = (_last_digit(reading, least) for reading, least in zip(pair, finest, strict=True))
        air = self.atmosphere.si
        return Pair(pair.master.gauge(air), pair.gauge.gauge(air), (self.readability.si / 2.0 if self.readability else gauge) + master)


def _last_digit(reading: Pressure, finest: float) -> float:
    """What the last digit written leaves open [Pa]. Nobody writes 0.00 for a needle at its zero mark: a 0 is read like the finest other.

    Source      gauge-zero
    """
    return finest if reading.si == 0.0 else reading.half_digit
