"""The flow formulas against printed figures."""

import math

import pytest
from tests.checks import ANOTHER, PRINTED, check

from steadycone.physics.flow import Hose, Resistance, Stream
from steadycone.physics.flow.orifice import (
    area_for,
    critical_coefficient,
    critical_ratio,
    downstream_pressure,
    is_choked,
    mass_flow,
)
from steadycone.physics.flow.resistance import REFERENCE_DENSITY, REFERENCE_PRESSURE

R = 8.314462618
INCH, FOOT = 0.0254, 0.3048


def stream(molar_mass: float, gamma: float, temperature: float, z: float = 1.0, viscosity: float = 1.8e-5) -> Stream:
    return Stream(molar_mass, R * z / molar_mass, gamma, viscosity, temperature)


@pytest.mark.parametrize(("gamma", "printed"), [(1.385, 0.6822), (1.399, 0.6846)])
def test_the_critical_flow_coefficient_is_the_regulations(gamma: float, printed: float) -> None:
    check(
        f"flow Cf at gamma {gamma}",
        kind=PRINTED,
        got=critical_coefficient(gamma),
        expected=printed,
        abs=5e-5,
        unit="1",
        source="40 CFR 1065.640, table 2, beta 0",
        why="printed to four figures",
    )


def test_the_critical_venturi_example() -> None:
    air = stream(0.0287805, 1.399, 378.15)
    area = 0.985 * 0.00456 * 0.7219 / 0.6846  # the table's ratio of beta 0.7 to beta 0: ours is the free opening
    check(
        "flow CFR critical venturi",
        kind=PRINTED,
        got=mass_flow(98836.0, 1000.0, area, air) / 0.0287805,
        expected=33.690,
        rel=1e-4,
        unit="mol/s",
        source="40 CFR 1065.642, critical-flow venturi example",
        why="Cf values of the ratio are rounded to four figures",
    )


def test_the_subsonic_venturi_example() -> None:
    air = stream(0.0287805, 1.399, 298.15)
    inlet, drop, beta = 99132.0, 2312.0, 0.8
    approach = math.sqrt(1.0 - beta**4 * ((inlet - drop) / inlet) ** (2.0 / 1.399))
    check(
        "flow CFR subsonic venturi",
        kind=PRINTED,
        got=mass_flow(inlet, inlet - drop, 0.990 * 0.01824 / approach, air) / 0.0287805,
        expected=58.173,
        rel=0.003,
        unit="mol/s",
        source="40 CFR 1065.642, subsonic venturi example; speed of approach put into the area",
        why="its Cf is printed as 0.274, three figures, up to 0.18 %",
    )


def test_the_unit_examples_of_the_regulation() -> None:
    air = stream(0.0287805, 1.4, 293.15)
    check(
        "flow CFR 1000 ft3/min in mol/s",
        kind=PRINTED,
        got=1000.0 * FOOT**3 / 60.0 * air.density(101325.0) / 0.0287805,
        expected=19.619,
        abs=6e-4,
        unit="mol/s",
        source="40 CFR 1065.640(a)",
        why="printed to five figures; its gas constant is the older 8.314472",
    )


def test_the_textbook_nozzle() -> None:
    nitrogen = Stream(R / 296.8, 296.8, 1.4, 1.8e-5, 450.0)
    assert not is_choked(150e3, 100e3, nitrogen)
    book = "Introduction to Fluid Mechanics, problem 13.31, nitrogen nozzle (its solution read, the title from memory)"
    for name, outlet, expected, kind, source in (
        ("back pressure 100 kPa", 100e3, 0.807, PRINTED, book),
        ("choked", 1e3, 0.843, ANOTHER, "choked nozzle in closed form, with the data of that problem"),
    ):
        check(
            f"flow nozzle, {name}",
            kind=kind,
            got=mass_flow(150e3, outlet, 30e-4, nitrogen),
            expected=expected,
            abs=5e-4,
            unit="kg/s",
            source=source,
            why="printed to three figures",
        )


def test_critical_and_stagnation_pressure_of_the_textbook() -> None:
    check(
        "flow critical pressure, example 12-4",
        kind=PRINTED,
        got=1.4e6 * critical_ratio(1.289) / 1e3,
        expected=766.8,
        abs=0.06,
        unit="kPa",
        source="Fluid Mechanics: Fundamentals and Applications, example 12-4, as cited in fluids 1.3.1",
        why="printed to four figures",
    )
    # 54.05 kPa and 255.7 K moving, 286.8 K and 80.77 kPa brought to rest: an opening of 1 m² between those pressures makes that stream
    air = Stream(0.02897, 287.0, 1.4, 1.8e-5, 286.8)
    speed = math.sqrt(2.0 * 3.5 * 287.0 * (286.8 - 255.7))
    check(
        "flow stagnation pressure, example 12-1",
        kind=PRINTED,
        got=mass_flow(80.77e3, 54.05e3, 1.0, air),
        expected=54.05e3 / (287.0 * 255.7) * speed,
        rel=1e-3,
        unit="kg/s",
        source="Fluid Mechanics: Fundamentals and Applications, example 12-1, as reproduced in fluids 1.3.1",
        why="temperatures printed to 0.1 K, which is 0.1 % in pressure",
    )


def test_a_flow_beyond_the_nozzle_has_no_downstream_pressure() -> None:
    nitrogen = Stream(R / 296.8, 296.8, 1.4, 1.8e-5, 450.0)
    assert downstream_pressure(150e3, 0.85, 30e-4, nitrogen) is None
    left = downstream_pressure(150e3, 0.807, 30e-4, nitrogen)
    assert left == pytest.approx(100e3, rel=2e-3)


@pytest.mark.parametrize(("name", "outlet", "expected"), [("1, critical", 1e3, 3699.0), ("2, subcritical", 532e3, 4248.0)])
def test_the_relief_valve_examples(name: str, outlet: float, expected: float) -> None:
    gas = stream(0.051, 1.11, 348.0, z=0.90)
    check(
        f"flow API 520 example {name}",
        kind=PRINTED,
        got=area_for(670e3, outlet, 24270.0 / 3600.0, gas) / 0.975 * 1e6,
        expected=expected,
        rel=0.002,
        unit="mm²",
        source=f"API 520 part 1, example {name}, as reproduced in fluids 1.3.1",
        why="the standard's coefficient is rounded to three or four figures; discharge coefficient 0.975",
    )


def kv_flow(kv: float, p1: float, p2: float, gas: Stream, critical_drop: float) -> float:
    """Flow [kg/s] of a Resistance that chokes where IEC 60534's valve does, with its choked flow."""
    density = gas.density(p1)
    choked = 31.6 * kv * (2.0 / 3.0) * math.sqrt(critical_drop * p1 / 1e5 * density) / 3600.0
    conductance = choked / p1 * math.sqrt(gas.gas_constant * gas.temperature / (REFERENCE_DENSITY * REFERENCE_PRESSURE))
    conductance *= critical_coefficient(1.4) / critical_coefficient(gas.gamma)
    ratio = 1.0 - (critical_coefficient(1.4) / critical_coefficient(gas.gamma)) ** 2 * critical_drop  # b' = 1 - F xT for this gas
    return Resistance(gas, conductance, ratio).mass_flow(p1, p2)


def test_the_control_valve_example_with_carbon_dioxide() -> None:
    # IEC 60534-2-1 example 3: 50 mm valve between 80 and 100 mm pipes, xT 0.60, Kv 72.59 for 3800 m³/h (0 °C, 1 atm).
    gas = stream(0.04401, 1.30, 433.0, z=0.988)
    kv, d = 72.59, 50.0
    loss = 0.5 * (1 - (d / 80) ** 2) ** 2 + (1 - (d / 100) ** 2) ** 2 + (d / 100) ** 4 - (d / 80) ** 4
    piping = 1.0 / math.sqrt(1.0 + loss / 0.0016 * (kv / d**2) ** 2)
    check(
        "flow IEC 60534-2-1 example 3",
        kind=PRINTED,
        got=kv_flow(kv * piping, 680e3, 310e3, gas, 1.30 / 1.4 * 0.60),
        expected=3800.0 / 3600.0 * 101325.0 / (R * 273.15) * 0.04401,
        rel=0.01,
        unit="kg/s",
        source="IEC 60534-2-1 example 3, as reproduced in fluids 1.3.1; piping factor of the standard applied by hand, xT as printed (its Y is 0.674)",
        why="nearly choked, where ISO 6358 and IEC 60534 curves meet; N constants are printed to three figures",
    )


def test_a_trim_too_small_for_turbulence_is_outside_the_model() -> None:
    # IEC 60534-2-1 example 4, Kv 0.01650 for 0.46 m³/h of argon: valve Reynolds number 1340, and the standard takes a fifth of the
    # flow off for it. A flow curve knows no Reynolds number, so it promises more. Recorded to show the limit, not as agreement.
    gas = stream(0.039948, 1.67, 320.0)
    printed = 0.46 / 3600.0 * 101325.0 / (R * 273.15) * 0.039948
    ours = kv_flow(0.01650, 2.8e5, 1.3e5, gas, 1.67 / 1.4 * 0.8)
    assert 1.2 < ours / printed < 1.35


def test_the_isothermal_pipe_example() -> None:
    # The friction factor is given, 0.00185; as a loss coefficient f L/D = 3.7 it leaves ours out. Density is the inlet's.
    gas = Stream(0.028, 1e6 / 11.3 / 300.0, 1.4, 1e-12, 300.0)
    pipe = Hose(gas, 0.5, 1e-6, 0.0, 0.00185 * 1000.0 / 0.5)
    check(
        "flow isothermal pipe example",
        kind=ANOTHER,
        got=pipe.largest_flow(1e6, 0.9e6)[0],
        expected=145.48,
        abs=0.006,
        unit="kg/s",
        source="fluids 1.3.1, isothermal_gas, worked example",
        why="printed to five figures",
    )
    flow, choked = pipe.largest_flow(1e6, 1e3)
    assert choked
    check(
        "flow isothermal choking pressure",
        kind=ANOTHER,
        got=flow / (math.pi / 4.0 * 0.25) * math.sqrt(gas.gas_constant * gas.temperature) / 1e3,
        expected=389.70,
        abs=0.01,
        unit="kPa",
        source="fluids 1.3.1, P_isothermal_critical_flow, worked example",
        why="printed to five figures",
    )


def service_pipe_flow(bore: float, length: float, fall: float) -> float:
    """Acetylene [ft³/h] at 60 °F through a smooth pipe: bore inch, length ft, fall inch of water."""
    acetylene = Stream(0.02603728, R / 0.02603728, 1.235, 1.0e-5, 288.7)
    flow, choked = Hose(acetylene, bore * INCH, length * FOOT, 0.0).largest_flow(101325.0 + fall * 249.089, 101325.0)
    assert not choked
    return flow / acetylene.density(101325.0) / FOOT**3 * 3600.0


def test_the_1909_formula_and_the_older_one_bracket_ours() -> None:
    ours = service_pipe_flow(0.8154, 400.0, 1.5)
    check(
        "flow service pipe, worked example",
        kind=PRINTED,
        got=ours,
        expected=85.0,
        rel=0.15,
        unit="ft³/h",
        source="Acetylene, the Principles of its Generation and Use (1909), ch. VII, worked example: 0.8154 in, 400 ft, 1.5 in of water",
        why="an empirical formula for rough gas pipe at inches of water; the older one it replaces gives 1/1.68 of it, and ours lies between the two",
    )
    assert 85.0 / 1.68 < ours < 85.0


def test_the_1909_table_is_no_guide_where_flow_is_laminar() -> None:
    # Negative check: its turbulent law carried into laminar flow promises far more than can pass (1/4 in, 500 ft: 1.0 ft³/h).
    assert service_pipe_flow(0.25, 500.0, 0.10) < 0.15
