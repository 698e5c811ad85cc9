"""Viscosity at pressure against the reference models, and what the flow formulas lose by taking the value near 1 atm."""

import CoolProp.CoolProp as CP
import pytest
from tests.checks import FITTED, check

from steadycone.errors import OutOfRange
from steadycone.physics import gas as g

COOLPROP = "CoolProp 8.0.0, reference viscosity model"
STORED = {"oxygen": "Oxygen", "nitrogen": "Nitrogen", "air": "Air", "methane": "Methane", "hydrogen": "Hydrogen"}
VAPOURS = {
    "propane": "Propane",
    "propylene": "Propylene",
    "butane": "n-Butane",
    "isobutane": "IsoButane",
    "ethane": "Ethane",
    "carbon dioxide": "CarbonDioxide",
}
CELSIUS = (-40.0, -30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0)
BAR = (0.2, 1.0, 3.0, 6.0, 11.0, 16.0, 25.0, 40.0, 60.0, 80.0, 100.0, 130.0, 160.0, 201.0, 250.0, 301.0)
POINTS = ((-40.0, 301.0), (-40.0, 80.0), (15.0, 201.0), (20.0, 11.0), (60.0, 301.0))


def _reference(fluid: str, celsius: float, pressure: float) -> float:
    return float(CP.PropsSI("V", "T", celsius + 273.15, "P", pressure, fluid))


@pytest.mark.parametrize("name", STORED)
def test_stored_gas_viscosity_follows_the_reference_to_301_bar(name: str) -> None:
    gas, fluid = g.load(name), STORED[name]
    for celsius, bar in POINTS:
        check(
            f"viscosity-{name}-{celsius:.0f}C-{bar:.0f}bar",
            kind=FITTED,
            got=g.viscosity(gas, celsius + 273.15, bar * 1e5),
            expected=_reference(fluid, celsius, bar * 1e5),
            rel=0.006,
            unit="Pa s",
            source=COOLPROP,
            why="fit error; a third of the 2 % wanted, the model itself is 2 to 5 % uncertain",
        )
    worst = max(abs(g.viscosity(gas, c + 273.15, bar * 1e5) / _reference(fluid, c, bar * 1e5) - 1.0) for c in CELSIUS for bar in BAR)
    why = "-40..60 °C, 0.2..301 bar abs; the stated 0.5 % and a little, of the 2 % wanted"
    check(f"viscosity-worst-{name}", kind=FITTED, got=worst, expected=0.0, abs=0.006, unit="1", source=COOLPROP, why=why)


@pytest.mark.parametrize("name", STORED)
def test_stored_gas_viscosity_holds_to_the_ends_of_its_table(name: str) -> None:
    gas, fluid = g.load(name), STORED[name]
    coldest = gas.range.coldest - 273.15
    states = [(c, bar) for c in CELSIUS for bar in (330.0, 401.0)]
    states += [(coldest + share * (-44.0 - coldest), bar) for share in (0.0, 0.25, 0.5, 0.75, 1.0) for bar in (1.0, 4.0, 8.0, 12.0, 16.0)]
    worst = max(abs(g.viscosity(gas, c + 273.15, bar * 1e5) / _reference(fluid, c, bar * 1e5) - 1.0) for c, bar in states)
    why = "to 401 bar abs warm, to 16 bar abs cold; as inside"
    check(f"viscosity-ends-{name}", kind=FITTED, got=worst, expected=0.0, abs=0.006, unit="1", source=COOLPROP, why=why)


@pytest.mark.parametrize("name", VAPOURS)
def test_vapour_viscosity_follows_the_reference_to_saturation(name: str) -> None:
    gas, fluid = g.load(name), VAPOURS[name]
    worst = 0.0
    for celsius in CELSIUS:
        top = min(25e5, 0.999 * g.dew_pressure(gas, celsius + 273.15))
        for k in range(1, 11):
            reference = _reference(fluid, celsius, top * k / 10.0)
            worst = max(worst, abs(g.viscosity(gas, celsius + 273.15, top * k / 10.0) / reference - 1.0))
    why = "-40..60 °C to 99.9 % of saturation or 25 bar abs; half of the 2 % wanted, most of it from the value near 1 atm in the cold"
    check(f"viscosity-vapour-{name}", kind=FITTED, got=worst, expected=0.0, abs=0.01, unit="1", source=COOLPROP, why=why)


def test_air_viscosity_at_pressure_follows_another_library() -> None:
    from chemicals.viscosity import mu_air_lemmon

    air = g.load("air")
    density = g.density(air, 201e5, 288.15) / air.molar_mass
    check(
        "viscosity-air-second-library",
        kind=FITTED,
        got=g.viscosity(air, 288.15, 201e5),
        expected=mu_air_lemmon(288.15, density),
        rel=0.006,
        unit="Pa s",
        source="chemicals 1.5.2 mu_air_lemmon",
        why="the same model written by others: fit error only",
    )


def test_the_flow_formulas_lose_little_by_the_value_near_1_atm() -> None:
    # physics/flow takes viscosity without pressure. Turbulent loss goes as its fourth root (Blasius), so 1.5 % here is 0.4 % of a loss.
    for name, fluid, bar, allowed in (("oxygen", "Oxygen", 11.0, 0.015), ("propane", "Propane", 3.0, 0.005)):
        gas, worst = g.load(name), 0.0
        for celsius in CELSIUS:
            if g.dew_pressure(gas, celsius + 273.15) > bar * 1e5:
                worst = max(worst, abs(g.viscosity(gas, celsius + 273.15) / _reference(fluid, celsius, bar * 1e5) - 1.0))
        why = "-40..60 °C as gas; the fourth root of it is the error of a turbulent loss, under 0.4 %"
        name = f"hose-viscosity-near-1-atm-{name}-{bar:.0f}bar"
        check(name, kind=FITTED, got=worst, expected=0.0, abs=allowed, unit="1", source=COOLPROP, why=why)


def _added(cas: str, density: float) -> float:
    """What density [mol/m³] adds by Lohrenz, Bray and Clark, less what the rule leaves over at no density."""
    from chemicals import MW, Pc, Tc, Vc
    from chemicals.viscosity import Lorentz_Bray_Clarke

    constants = [[MW(cas)], [Tc(cas)], [Pc(cas)], [Vc(cas)]]
    dense, thin = (Lorentz_Bray_Clarke(300.0, 1e5, 1.0 / d, [1.0], *constants) for d in (density, 1e-6))
    return float(dense - thin)


def test_acetylene_viscosity_at_pressure_follows_its_correlation() -> None:
    gas, worst = g.load("acetylene"), 0.0
    for celsius in CELSIUS:
        top, thin = min(26e5, 0.999 * g.dew_pressure(gas, celsius + 273.15)), g.viscosity(gas, celsius + 273.15)
        for k in range(1, 6):
            expected = thin + _added("74-86-2", g.density(gas, top * k / 5.0, celsius + 273.15) / gas.molar_mass)
            worst = max(worst, abs(g.viscosity(gas, celsius + 273.15, top * k / 5.0) / expected - 1.0))
    source = "chemicals 1.5.2 Lorentz_Bray_Clarke, less its remainder at no density"
    check(
        "viscosity-acetylene",
        kind=FITTED,
        got=worst,
        expected=0.0,
        abs=0.001,
        unit="1",
        source=source,
        why="-40..60 °C to 26 bar abs; fit error only",
    )


@pytest.mark.parametrize(("reduced", "allowed"), [(0.041, 0.015), (0.41, 0.042)])
def test_the_correlation_taken_for_acetylene_is_near_six_other_vapours(reduced: float, allowed: float) -> None:
    # 0.041 and 0.41 of acetylene's critical pressure are 2.5 and 25 bar; 0.73 to 1.12 of its critical temperature are -48 to 72 °C.
    numbers = ("74-98-6", "115-07-1", "106-97-8", "75-28-5", "74-84-0", "124-38-9")
    worst = 0.0
    for fluid, cas in zip(VAPOURS.values(), numbers, strict=True):
        for k in range(14):
            kelvin = CP.PropsSI("Tcrit", fluid) * (0.73 + 0.03 * k)
            top = reduced * CP.PropsSI("Pcrit", fluid)
            if 0.73 + 0.03 * k < 1.0:
                top = min(top, 0.98 * CP.PropsSI("P", "T", kelvin, "Q", 1, fluid))
            thin = CP.PropsSI("V", "T", kelvin, "P", 1e3, fluid)
            for share in (0.25, 0.5, 0.75, 1.0):
                got = thin + _added(cas, CP.PropsSI("DMOLAR", "T", kelvin, "P", top * share, fluid))
                worst = max(worst, abs(got / CP.PropsSI("V", "T", kelvin, "P", top * share, fluid) - 1.0))
    assert worst < allowed, "what acetylene's 5 % is judged by: the worst of six vapours at the same reduced states"


def test_a_mixture_has_its_value_near_1_atm_at_every_pressure_it_covers() -> None:
    gas = g.mixture({"methane": 0.93, "ethane": 0.05, "nitrogen": 0.02}, "natural gas")
    assert g.viscosity(gas, 293.15, 11e5) == g.viscosity(gas, 293.15)
    with pytest.raises(OutOfRange, match="16 bar abs"):
        g.viscosity(gas, 293.15, 17e5)


@pytest.mark.parametrize(
    ("name", "celsius", "pressure", "says"),
    [
        ("oxygen", 15.0, 402e5, "401 bar abs"),
        ("oxygen", -60.0, 17e5, "16 bar abs"),
        ("oxygen", 73.0, 1e5, "table covers"),
        ("oxygen", 15.0, 0.0, "not above zero"),
        ("propane", 20.0, 9e5, "partly liquid"),
        ("acetylene", 40.0, 27e5, "26 bar abs"),
    ],
)
def test_viscosity_outside_the_table_is_refused(name: str, celsius: float, pressure: float, says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        g.viscosity(g.load(name), celsius + 273.15, pressure)
