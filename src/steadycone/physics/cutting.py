"""Oxygen that burns the iron of a kerf."""

IRON = 55.845e-3  # kg/mol
STEEL_DENSITY = 7850.0  # kg/m³
# mol of oxygen for a mol of iron, by the oxide that the slag is taken for
TO_FEO = 0.5
TO_MAGNETITE = 2 / 3


def kerf_oxygen(speed: float, thickness: float, kerf: float, oxide: float = TO_MAGNETITE) -> float:
    """Oxygen that burns all the iron a cut takes out.

    Parameters
    ----------
    speed : float   [m/s]
    thickness, kerf : float   [m]
    oxide : float   mol of oxygen for a mol of iron: TO_FEO or TO_MAGNETITE

    Returns
    -------
    float   [mol/s]

    Holds for   plain steel. A real jet burns part of the kerf and blows the rest out as melt, and part of the jet passes unused.
    Source      kerf-stoichiometry: 2 Fe + O2 -> 2 FeO, 3 Fe + 2 O2 -> Fe3O4
    Example     >>> round(kerf_oxygen(1.0, 0.025, 0.002) * 22.41397, 1)  # L of normal oxygen for a metre of 2 mm kerf in 25 mm
                105.0
    """
    return speed * thickness * kerf * STEEL_DENSITY / IRON * oxide
