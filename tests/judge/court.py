"""What the judge finds: a verdict for each code and subject, and whether it lies so near a limit that another number may tip it."""

from dataclasses import dataclass, field

from tests.judge.reading import Band

RANK = {"go": 0, "caution": 1, "stop": 2}
PLAIN = 1e-6  # of the limit: sums on the file's own figures, where only the order of adding differs
MARCHED = (
    0.004  # of the limit: a march by another method with other gas data; acetylene's viscosity differs by some per cent in the libraries
)


@dataclass
class Ruling:
    verdict: str
    least: str  # the softest and the hardest that the zone around the limits leaves open
    most: str
    value: float | None = None
    limit: float | None = None


@dataclass
class Court:
    rulings: dict[tuple[str, str], Ruling] = field(default_factory=dict)
    figures: dict[str, Band] = field(default_factory=dict)
    zones: dict[str, float] = field(default_factory=dict)  # of a figure, where it is not one per cent

    def say(self, code: str, subject: str, verdict: str, least: str = "", most: str = "") -> None:
        self.rulings[code, subject] = Ruling(verdict, least or verdict, most or verdict)

    def hold(self, code: str, subject: str, value: float, limits: list[tuple[str, float]], zone: float, floor: float = 0.0) -> None:
        """Over a limit is that limit's verdict. The zone is a share of the limit, `floor` its least size in the value's unit."""

        def at(number: float) -> str:
            return max((verdict for verdict, limit in limits if number > limit), key=RANK.__getitem__, default="go")

        width = max([floor, *(abs(limit) * zone for _, limit in limits)])
        self.rulings[code, subject] = Ruling(at(value), at(value - width), at(value + width), value, limits[0][1])
