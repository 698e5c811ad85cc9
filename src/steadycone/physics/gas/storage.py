"""Gas in a closed vessel: how much is in it, and what warming or filling does to its pressure."""

from steadycone.errors import OutOfRange
from steadycone.physics.gas.equation import pressure_at, reduced_density
from steadycone.physics.gas.model import NORMAL_MOLAR_VOLUME, UNIT_DENSITY, Gas
from steadycone.physics.gas.state import gamma


def amount_stored(gas: Gas, water_volume: float, pressure: float, temperature: float) -> float:
    """Amount in a vessel, real gas.

    Parameters
    ----------
    gas : Gas
    water_volume : float   [m³], geometric
    pressure : float   [Pa absolute]
    temperature : float   [K]

    Returns
    -------
    float   [mol]; times the molar mass for kg, times NORMAL_MOLAR_VOLUME for normal m³

    Raises
    ------
    OutOfRange : the volume is not positive, or the state is outside the gas's table or liquid.

    Holds for   as `compressibility`. Not for dissolved acetylene.
    Source      coolprop; acetylene-virial
    Example     50 L of oxygen at 200 bar gauge and 15 °C hold 450.4 mol, 14.41 kg.
    """
    _need_volume(water_volume)
    return water_volume * UNIT_DENSITY * reduced_density(gas, pressure, temperature)


def pressure_of_amount(gas: Gas, amount: float, water_volume: float, temperature: float) -> float:
    """Pressure [Pa absolute] of an amount [mol] in a vessel [m³] at a temperature [K]: the inverse of `amount_stored`.

    Raises
    ------
    OutOfRange : amount or volume is not positive, or the state is outside the gas's table or liquid.
    """
    _need_volume(water_volume)
    return pressure_at(gas, amount / (water_volume * UNIT_DENSITY), temperature)


def warmed_pressure(gas: Gas, pressure: float, temperature: float, new_temperature: float) -> float:
    """Pressure [Pa absolute] in a closed rigid vessel after its gas went from one temperature to another [K].

    Raises
    ------
    OutOfRange : either state is outside the gas's table or liquid.
    """
    return pressure_at(gas, reduced_density(gas, pressure, temperature), new_temperature)


def filled_temperature(gas: Gas, start_pressure: float, end_pressure: float, temperature: float) -> float:
    """Temperature [K] at the end of a fast fill from a supply at `temperature`, nothing lost to the walls.

    The upper bound for a hose just pressurised: the walls take the heat within seconds. Ideal gas, so for hose pressures.

    Raises
    ------
    OutOfRange : a pressure is not positive, or the end is below the start.

    Holds for   to 16 bar abs, within 1 %; gamma is that of the supply.
    Source      closed form of the energy balance of a filled volume
    """
    if not 0.0 < start_pressure <= end_pressure:
        raise OutOfRange(
            "filling needs a start pressure above zero and not above the end pressure.", where="pressure", try_="Check both pressures."
        )
    ratio = gamma(gas, temperature)
    return ratio * temperature / (1.0 + (ratio - 1.0) * start_pressure / end_pressure)


def normal_volume(amount: float) -> float:
    """Normal volume [m³] of an amount [mol], the same for every gas."""
    return amount * NORMAL_MOLAR_VOLUME


def _need_volume(water_volume: float) -> None:
    if not water_volume > 0.0:
        raise OutOfRange(
            f"a volume of {water_volume * 1e3:.3g} L is not above zero.",
            where="water_volume",
            try_="Give the water capacity of the vessel.",
        )
