"""A pure gas by its name, from its own small table."""

from functools import cache

from steadycone.data.reader import rows
from steadycone.errors import UnknownName, nearest
from steadycone.physics.gas.model import Gas, Range, Saturation

NAMES = (
    "oxygen",
    "acetylene",
    "propane",
    "propylene",
    "methane",
    "hydrogen",
    "nitrogen",
    "air",
    "butane",
    "isobutane",
    "ethane",
    "carbon dioxide",
)
MIXED = ("lpg", "natural gas")


@cache
def load(name: str) -> Gas:
    """The gas called `name`, for example "oxygen" or "carbon dioxide". Cached: the same name gives the same object.

    Raises
    ------
    UnknownName : there is no such gas, or the name stands for a mixture that needs a composition.

    Source      data/gases/<name>.csv, made by tools/make_tables.py; every row names its own.
    """
    if name in MIXED:
        raise UnknownName(
            f'"{name}" is a mixture, not one gas.', where="gas", try_="Give its composition, for example propane 60 %, butane 40 %."
        )
    if name not in NAMES:
        raise UnknownName(f'"{name}" is not a known gas.', where="gas", try_=nearest(name, (*NAMES, *MIXED)))
    return _from_rows(name, rows(f"gases/{name.replace(' ', '-')}.csv"))


def _from_rows(name: str, table: tuple[dict[str, str], ...]) -> Gas:
    single: dict[str, str] = {}
    series: dict[str, list[float]] = {}
    grids: dict[str, list[list[float]]] = {"alpha": [], "dense_viscosity": []}
    for row in table:
        quantity = row["quantity"]
        if (grid := grids.get(quantity)) is not None:
            if int(row["i"]) > len(grid):
                grid.append([])
            grid[-1].append(float(row["value"]))
        elif row["i"]:
            series.setdefault(quantity, []).append(float(row["value"]))
        else:
            single[quantity] = row["value"]
    limits = Range(*(float(single[k]) for k in ("coldest", "hottest", "warm_from", "cold_pressure", "warm_pressure")))
    saturation = None
    if "log_saturation" in series:
        saturation = Saturation(
            float(single["critical_temperature"]),
            tuple(series["log_saturation"]),
            tuple(series.get("latent_heat", ())),
            tuple(series.get("liquid_density", ())),
        )
    return Gas(
        name=name,
        formula=single["formula"],
        molar_mass=float(single["molar_mass"]),
        components={name: 1.0},
        alpha=tuple(tuple(line) for line in grids["alpha"]),
        heat_capacity=tuple(series["heat_capacity"]),
        viscosity=tuple(series["viscosity"]),
        dense_viscosity=tuple(tuple(line) for line in grids["dense_viscosity"]),
        range=limits,
        saturation=saturation,
        sources=tuple(sorted({row["source"] for row in table})),
    )
