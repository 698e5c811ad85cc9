"""The named conditions that steps may ask for. One line each; a step's `when` lists some, and all must hold."""

from collections.abc import Callable

from steadycone.assembly.figures import Figures
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.practice.judging import ends
from steadycone.practice.place import HEAVY
from steadycone.procedures.rules import rule
from steadycone.procedures.settings import below_working
from steadycone.station.parts import Arrestor, CheckValve
from steadycone.station.supply import Supply

# kg/mol. Air is 0.029: clearly lighter; acetylene lies between this and what is clearly heavier and does neither.
_LIGHT = 0.022


def _fuel(figures: Figures) -> str:
    return figures.setup.station.station.fuel


def _supplies(figures: Figures, fuel: bool) -> list[Supply]:
    return [line.line.supply for name, line in figures.lines.items() if (name == "fuel") == fuel]


def _kind(figures: Figures, kind: str, fuel: bool) -> bool:
    return any(supply.kind == kind for supply in _supplies(figures, fuel))


def _cylinders(figures: Figures, fuel: bool) -> bool:
    return any(supply.has_cylinders for supply in _supplies(figures, fuel))


def _piped(figures: Figures, fuel: bool) -> bool:
    return any(not supply.has_cylinders for supply in _supplies(figures, fuel))


def _any_cylinders(figures: Figures) -> bool:
    return _cylinders(figures, True) or _cylinders(figures, False)


def _coupled(figures: Figures) -> bool:
    return any(line.line.supply.has_cylinders and line.line.supply.cylinders > 1 for line in figures.lines.values())


def _has_part(figures: Figures, kind: type) -> bool:
    return any(isinstance(part, kind) for line in figures.lines.values() for part in line.line.part)


def _room_known(figures: Figures) -> bool:
    return figures.setup.station.place.volume is not None and ends(figures.lines["fuel"].proving.purge_released) is not None


def _below(figures: Figures, name: str) -> bool:
    return name in figures.lines and below_working(figures, figures.lines[name])


def over_habit(figures: Figures, name: str) -> bool:
    """Whether a line's purge may need longer than the most that people count."""
    found = ends(figures.lines[name].proving.purge_time) if name in figures.lines else None
    return found is not None and found.high > rule("habit_purge_most").si


def _is_cut(figures: Figures, start: str) -> bool:
    return figures.setup.station.job.kind == "cut" and figures.setup.station.job.start == start


CONDITIONS: dict[str, Callable[[Figures], bool]] = {
    # fuel
    "acetylene": lambda f: _fuel(f) == "acetylene",
    "hydrogen": lambda f: _fuel(f) == "hydrogen",
    "not-hydrogen": lambda f: _fuel(f) != "hydrogen",
    "hydrocarbon-not-acetylene": lambda f: _fuel(f) not in ("acetylene", "hydrogen"),
    "heavy-fuel": lambda f: f.fuel.molar_mass > HEAVY,
    "light-fuel": lambda f: f.fuel.molar_mass < _LIGHT,
    # supply
    "cylinders": _any_cylinders,
    "no-cylinders": lambda f: not _any_cylinders(f),
    "coupled": _coupled,
    "oxygen-cylinders": lambda f: _cylinders(f, False),
    "oxygen-on-cylinders": lambda f: _kind(f, "cylinders", False),
    "oxygen-on-manifold": lambda f: _kind(f, "manifold", False),
    "oxygen-piped": lambda f: _piped(f, False),
    "oxygen-pressure-known": lambda f: ends(f.lines["oxygen"].supply.pressure) is not None,
    "fuel-cylinders": lambda f: _cylinders(f, True),
    "fuel-on-manifold": lambda f: _kind(f, "manifold", True),
    "fuel-piped": lambda f: _piped(f, True),
    "fuel-pressure-known": lambda f: ends(f.lines["fuel"].supply.pressure) is not None,
    "any-piped": lambda f: _piped(f, True) or _piped(f, False),
    "acetylene-cylinders": lambda f: _fuel(f) == "acetylene" and _cylinders(f, True),
    "acetylene-on-cylinders": lambda f: _fuel(f) == "acetylene" and _kind(f, "cylinders", True),
    "other-fuel-on-cylinders": lambda f: _fuel(f) != "acetylene" and _kind(f, "cylinders", True),
    "liquefied-cylinders": lambda f: _fuel(f) in LIQUEFIED and _cylinders(f, True),
    # gear
    "cutting": lambda f: f.setup.station.torch.attachment == "cutting",
    "not-cutting": lambda f: f.setup.station.torch.attachment != "cutting",
    "lever": lambda f: f.setup.station.torch.attachment == "cutting" and f.setup.station.preheat_oxygen is None,
    "injector": lambda f: f.setup.station.torch.mixer == "injector",
    "o-ring": lambda f: f.setup.station.torch.seal == "o-ring",
    "metal-seat": lambda f: f.setup.station.torch.seal == "metal",
    "seal-unknown": lambda f: f.setup.station.torch.seal is None,
    "two-hose": lambda f: f.setup.station.preheat_oxygen is None,
    "three-hose": lambda f: f.setup.station.preheat_oxygen is not None,
    "arrestors": lambda f: _has_part(f, Arrestor),
    "check-valves": lambda f: _has_part(f, CheckValve),
    # place and region
    "enclosed": lambda f: f.setup.station.place.closed,
    "open-place": lambda f: not f.setup.station.place.closed,
    "enclosed-known": lambda f: f.setup.station.place.closed and _room_known(f),
    "enclosed-unknown": lambda f: f.setup.station.place.closed and not _room_known(f),
    "us": lambda f: f.setup.station.station.region == "us",
    "not-us": lambda f: f.setup.station.station.region != "us",
    # job
    "edge": lambda f: _is_cut(f, "edge"),
    "pierce": lambda f: _is_cut(f, "pierce"),
    # numbers
    "oxygen-test-working": lambda f: not _below(f, "oxygen"),
    "oxygen-test-below": lambda f: _below(f, "oxygen"),
    "fuel-test-working": lambda f: not _below(f, "fuel"),
    "fuel-test-below": lambda f: _below(f, "fuel"),
    "test-below": lambda f: any(_below(f, name) for name in f.lines),
    "oxygen-over-habit": lambda f: over_habit(f, "oxygen"),
    "fuel-over-habit": lambda f: over_habit(f, "fuel"),
    "preheat-over-habit": lambda f: over_habit(f, "preheat_oxygen"),
}


def hold(names: list[str], figures: Figures) -> bool:
    """Whether all of these conditions hold."""
    return all(CONDITIONS[name](figures) for name in names)
