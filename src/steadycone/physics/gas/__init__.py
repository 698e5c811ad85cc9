"""Properties of the gases a torch uses. SI, absolute pressure, kelvin, amounts in mol.

Import from here, not from the modules: `mixture`, `flame` and `load` are functions here and files of the same name below.
"""

from steadycone.physics.gas.combustion import (
    Products,
    Ratio,
    burns,
    combustion_sources,
    complete_oxygen,
    higher_heat,
    ignition_temperature,
    limits,
    lower_heat,
    neutral_ratio,
    products,
)
from steadycone.physics.gas.flame import FlameState, flame, flame_range
from steadycone.physics.gas.load import load
from steadycone.physics.gas.mixture import mixture, vapour_over
from steadycone.physics.gas.model import GAS_CONSTANT, NORMAL_MOLAR_VOLUME, NORMAL_PRESSURE, NORMAL_TEMPERATURE, Gas
from steadycone.physics.gas.saturation import dew_pressure, latent_heat, saturated_liquid_density, saturation_pressure
from steadycone.physics.gas.state import (
    compressibility,
    critical_pressure_ratio,
    density,
    gamma,
    real_gamma,
    second_virial,
    sound_speed,
    specific_gas_constant,
    viscosity,
)
from steadycone.physics.gas.storage import amount_stored, filled_temperature, normal_volume, pressure_of_amount, warmed_pressure
from steadycone.physics.gas.throttle import throttled_temperature

__all__ = [
    "GAS_CONSTANT",
    "NORMAL_MOLAR_VOLUME",
    "NORMAL_PRESSURE",
    "NORMAL_TEMPERATURE",
    "FlameState",
    "Gas",
    "Products",
    "Ratio",
    "amount_stored",
    "burns",
    "combustion_sources",
    "complete_oxygen",
    "compressibility",
    "critical_pressure_ratio",
    "density",
    "dew_pressure",
    "filled_temperature",
    "flame",
    "flame_range",
    "gamma",
    "higher_heat",
    "ignition_temperature",
    "latent_heat",
    "limits",
    "load",
    "lower_heat",
    "mixture",
    "neutral_ratio",
    "normal_volume",
    "pressure_of_amount",
    "products",
    "real_gamma",
    "saturated_liquid_density",
    "saturation_pressure",
    "second_virial",
    "sound_speed",
    "specific_gas_constant",
    "throttled_temperature",
    "vapour_over",
    "viscosity",
    "warmed_pressure",
]
