"""Heats of combustion, oxygen demand, limits in air and ignition temperatures, from the data files of chemicals 1.5.2."""

from chemicals import LFL, UFL, Hfg, T_autoignition
from chemicals.combustion import combustion_data

IEC = "IEC 60079-20-1 (2010)"
FUELS = {
    "acetylene": ("74-86-2", "C2H2"),
    "propane": ("74-98-6", "C3H8"),
    "propylene": ("115-07-1", "C3H6"),
    "methane": ("74-82-8", "CH4"),
    "hydrogen": ("1333-74-0", "H2"),
    "butane": ("106-97-8", "C4H10"),
    "isobutane": ("75-28-5", "C4H10"),
    "ethane": ("74-84-0", "C2H6"),
}


def lower_from(higher: float, water: float) -> float:
    """Lower heat [J/mol]: the higher heat less the heat of evaporation of the water made, 44 011.496 J/mol at 25 °C."""
    return higher - water * 44011.496


def combustion() -> str:
    """The table as CSV text; heats in J/mol of fuel gas at 298.15 K, limits as mole fractions."""
    lines = ["gas,quantity,value,unit,uncertainty,source,note"]
    for name, (cas, formula) in FUELS.items():
        data = combustion_data(formula=formula, Hf=Hfg(cas))
        higher = -data.HHV
        rows = [
            ("complete_oxygen", -data.stoichiometry["O2"], "mol/mol", "exact", "chemicals-combustion"),
            ("higher_heat", higher, "J/mol", "0.3 %", "chemicals-combustion"),
            ("lower_heat", lower_from(higher, data.stoichiometry["H2O"]), "J/mol", "0.3 %", "chemicals-combustion"),
            ("air_low", LFL(CASRN=cas, method=IEC), "1", "", "iec-60079-20-1"),
            ("air_high", UFL(CASRN=cas, method=IEC), "1", "", "iec-60079-20-1"),
            ("ignition", T_autoignition(cas, method=IEC), "K", "", "iec-60079-20-1"),
        ]
        lines += [f"{name},{q},{v:.8g},{unit},{uncertainty},{source}," for q, v, unit, uncertainty, source in rows]
    return "\n".join(lines) + "\n"
