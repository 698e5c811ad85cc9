"""A full cylinder: at what pressure it is filled, and what that becomes at another temperature."""

from steadycone.data.reader import toml
from steadycone.physics.gas import Gas, warmed_pressure
from steadycone.physics.supply import acetylene
from steadycone.station.supply import Supply
from steadycone.units import Pressure, Temperature


def label_share(supply: Supply, reference_stated: bool) -> float:
    """Share of the stated volume that is sure, 1 or less: a label's m³ is usually at 15 °C and 1 bar, and a file's is normal unless it says.

    Counts only where the cylinder's size is told by a volume of gas in m³ or litres, and by nothing else.
    Source      label-volume
    """
    given = supply.capacity or supply.content
    if supply.water_volume or given is None or given.unit not in ("m3", "L") or reference_stated:
        return 1.0
    label = toml("defaults.toml")["label"]
    return float(label["pressure_bar"]) / 1.01325 * 273.15 / (273.15 + float(label["temperature_c"]))


def filling(supply: Supply, gas: Gas, region: str, atmosphere: float) -> tuple[float, float]:
    """Pressure [Pa abs] and temperature [K] of a full cylinder of compressed gas or dissolved acetylene: as stated, or the region's usual.

    Source      memory-filling-pressure; acetylene-filling
    """
    usual = toml("defaults.toml")["filling-acetylene" if gas.name == "acetylene" else "filling"][region]
    pressure = supply.filling_pressure or Pressure.parse(usual["pressure"])
    return pressure.abs(atmosphere), Temperature.parse(f"{usual['temperature_c']} °C").si


def full_at(supply: Supply, gas: Gas, region: str, atmosphere: float, ambient: float) -> float:
    """Pressure [Pa abs] of a full cylinder at an ambient temperature [K].

    Raises  OutOfRange: pressure or temperature outside what the physics covers.
    """
    pressure, temperature = filling(supply, gas, region, atmosphere)
    if gas.name == "acetylene":
        return pressure * acetylene.warming(temperature, ambient)
    return warmed_pressure(gas, pressure, temperature, ambient)
