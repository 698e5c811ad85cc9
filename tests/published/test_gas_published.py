"""Gas data against printed figures, the wrong ones among them.

WELD1916 is "Oxy-Acetylene Welding and Cutting; Electric, Forge and Thermit Welding", 1916; ACET1909 is "Acetylene, the Principles
of its Generation and Use", 2nd edition, 1909. Both are in the public domain.
"""

import pytest
from tests.checks import ANOTHER, COPIED, FITTED, PRINTED, check

from steadycone.physics import gas as g

PSI = 6894.757293168
ATMOSPHERE = 14.6959 * PSI
BTU_PER_FT3 = 1055.05585 / 0.028316846592  # J/m³
BTU_PER_LB = 2326.0  # J/kg
FT3_PER_LB = 0.028316846592 / 0.45359237  # m³/kg
SIXTY_F, SIXTY_EIGHT_F = 288.7056, 293.15
KILOCALORIE = 4184.0


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


@pytest.mark.parametrize(
    ("name", "viscosity", "constant"),
    [("oxygen", 1.919e-5, 139.0), ("nitrogen", 1.663e-5, 107.0), ("air", 1.716e-5, 111.0)],
)
def test_viscosity_follows_the_federal_regulation(name: str, viscosity: float, constant: float) -> None:
    for celsius in (-20, 0, 20, 50):
        t = celsius + 273.15
        expected = viscosity * (t / 273.0) ** 1.5 * (273.0 + constant) / (t + constant)
        why = "two-constant formula printed to 4 figures; it is 1 to 2 % off modern values"
        got = g.viscosity(g.load(name), t)
        check(
            f"cfr-viscosity-{name}{celsius}",
            kind=ANOTHER,
            got=got,
            expected=expected,
            rel=0.02,
            unit="Pa s",
            source="40 CFR 1065.640 table 4 (2015)",
            why=why,
        )


def test_acetylene_density_is_that_of_1909() -> None:
    acetylene = g.load("acetylene")
    got = g.density(acetylene, 101325.0, 273.15)
    check(
        "acet1909-density-0C",
        kind=PRINTED,
        got=got,
        expected=1.1696,
        rel=0.003,
        unit="kg/m3",
        source="Acetylene, the Principles of its Generation and Use, 1909, ch. VI",
        why="printed to 5 figures, measured to about 3",
    )
    got = g.density(acetylene, 30 * 3386.389, SIXTY_F) * 0.028316846592 / 0.45359237 * 1000.0
    check(
        "acet1909-density-60F",
        kind=PRINTED,
        got=got,
        expected=69.18,
        rel=0.004,
        unit="lb/1000 ft3",
        source="Acetylene, the Principles of its Generation and Use, 1909, ch. VI",
        why="derived in print from the 0 °C value",
    )


def test_acetylene_heat_capacity_ratio_of_1909_is_two_per_cent_high() -> None:
    got = g.gamma(g.load("acetylene"), 288.15)
    check(
        "acet1909-gamma",
        kind=PRINTED,
        got=got,
        expected=1.26,
        rel=0.025,
        unit="1",
        source="Acetylene, the Principles of its Generation and Use, 1909, ch. VI",
        why="two or three figures from 1909; modern 1.23 to 1.24",
    )


def test_the_1916_cubic_feet_per_pound_come_out_wrong() -> None:
    got = 1.0 / g.density(g.load("acetylene"), ATMOSPHERE, SIXTY_F) / FT3_PER_LB
    source = "Piping Calculations Manual, heating value table (seen at second hand)"
    check(
        "acetylene-ft3-per-lb",
        kind=PRINTED,
        got=got,
        expected=14.4,
        rel=0.01,
        unit="ft3/lb",
        source=source,
        why="printed to 3 figures, ideal gas at 60 °F",
    )
    printed = 13.6  # WELD1916, contents by weight
    assert printed / got < 0.95, "the 1916 figure is 6 to 7 % low and must not be met"


CYLINDER_1916 = [  # °F, printed psig, real oxygen psig (CoolProp 8.0.0), ideal gas psig; WELD1916 lines 960-1006
    (150, 2090, 2178, 2082),
    (100, 1912, 1948, 1910),
    (80, 1844, 1856, 1841),
    (50, 1736, 1716, 1738),
    (32, 1672, 1633, 1676),
    (0, 1558, 1483, 1566),
    (-10, 1522, 1436, 1532),
]


@pytest.mark.parametrize(("fahrenheit", "printed", "real", "ideal"), CYLINDER_1916)
def test_the_1916_oxygen_temperature_table_is_the_ideal_gas(fahrenheit: float, printed: float, real: float, ideal: float) -> None:
    start = 1800.0 * PSI + ATMOSPHERE
    got = (g.warmed_pressure(g.load("oxygen"), start, SIXTY_EIGHT_F, kelvin(fahrenheit)) - ATMOSPHERE) / PSI
    source = "CoolProp 8.0.0 at constant density"
    check(
        f"oxygen-1800psi-{fahrenheit}F",
        kind=FITTED,
        got=got,
        expected=real,
        rel=0.001,
        unit="psig",
        source=source,
        why="printed to whole psi",
    )
    closed_form = (start * kelvin(fahrenheit) / SIXTY_EIGHT_F - ATMOSPHERE) / PSI
    assert closed_form == pytest.approx(printed, rel=0.008), "the printed table is within 0.7 % of the ideal gas"
    assert closed_form == pytest.approx(ideal, abs=1.0)


def test_the_1916_oxygen_temperature_table_is_wrong_at_its_ends() -> None:
    start = 1800.0 * PSI + ATMOSPHERE
    oxygen = g.load("oxygen")
    for fahrenheit, printed, low, high in ((150, 2090, 0.03, 0.05), (-10, 1522, -0.07, -0.05)):
        got = (g.warmed_pressure(oxygen, start, SIXTY_EIGHT_F, kelvin(fahrenheit)) - ATMOSPHERE) / PSI
        assert low < got / printed - 1.0 < high


@pytest.mark.parametrize(
    ("gauge", "printed", "real"),
    [
        (1620, 90, 89.7),
        (1440, 80, 79.4),
        (1260, 70, 69.2),
        (1080, 60, 59.0),
        (900, 50, 48.9),
        (700, 39, 37.7),
        (500, 28, 26.7),
        (300, 17, 15.9),
        (100, 6, 5.3),
    ],
)
def test_percent_left_in_an_oxygen_cylinder(gauge: float, printed: float, real: float) -> None:
    oxygen = g.load("oxygen")
    # Both columns count what comes out, down to the atmosphere; the last 0.8 % stays in the cylinder.
    full, left, stays = (g.amount_stored(oxygen, 0.04, p * PSI + ATMOSPHERE, SIXTY_EIGHT_F) for p in (1800.0, gauge, 0.0))
    got = 100.0 * (left - stays) / (full - stays)
    why = "printed as whole per cent by the ideal gas, so up to 1.4 points above real oxygen"
    check(
        f"percent-left-print-{gauge}",
        kind=PRINTED,
        got=got,
        expected=printed,
        abs=1.5,
        unit="%",
        source="Oxy-Acetylene Welding and Cutting, 1916, oxygen table",
        why=why,
    )
    check(
        f"percent-left-{gauge}",
        kind=FITTED,
        got=got,
        expected=real,
        abs=0.1,
        unit="%",
        source="CoolProp 8.0.0",
        why="given to a tenth of a per cent",
    )


def test_the_misprint_in_the_250_foot_column_is_noticed() -> None:
    oxygen = g.load("oxygen")
    full, left = (g.amount_stored(oxygen, 0.04, p * PSI + ATMOSPHERE, SIXTY_EIGHT_F) for p in (1800.0, 18.0))
    assert 250.0 * left / full < 5.0, "WELD1916 prints 8 ft3 at 18 psi"


def test_oxygen_weight_of_1916_is_the_density_at_freezing_point() -> None:
    got = g.density(g.load("oxygen"), ATMOSPHERE, 273.15) * 0.028316846592 / 0.45359237 * 100.0
    check(
        "weld1916-oxygen-weight",
        kind=PRINTED,
        got=got,
        expected=8.921,
        rel=0.001,
        unit="lb/100 ft3",
        source="Oxy-Acetylene Welding and Cutting, 1916, weight of oxygen",
        why="printed to 4 figures; it is the 0 °C value",
    )
    at_70 = g.density(g.load("oxygen"), ATMOSPHERE, kelvin(70)) * 0.028316846592 / 0.45359237 * 100.0
    assert at_70 / 8.921 < 0.94, "at 70 °F, the state US volumes are sold at, the printed weight is 7 % high"


IEC = [  # gas, lower, upper, °C; IEC 60079-20-1:2010 as printed in published lists
    ("acetylene", 0.023, 1.0, 305),
    ("propane", 0.017, 0.109, 450),
    ("propylene", 0.020, 0.111, 455),
    ("methane", 0.044, 0.170, 600),
    ("hydrogen", 0.040, 0.770, 560),
    ("butane", 0.014, 0.093, 372),
]


@pytest.mark.parametrize(("name", "low", "high", "celsius"), IEC)
def test_limits_and_ignition_in_air_are_those_of_the_standard(name: str, low: float, high: float, celsius: float) -> None:
    found = g.limits(g.load(name), "air")
    assert found is not None
    source, why = "IEC 60079-20-1:2010, seen at second hand", "copied, not computed"
    check(f"iec-low-{name}", kind=COPIED, got=found[0], expected=low, abs=1e-6, unit="1", source=source, why=why)
    check(f"iec-high-{name}", kind=COPIED, got=found[1], expected=high, abs=1e-6, unit="1", source=source, why=why)
    check(
        f"iec-ait-{name}",
        kind=COPIED,
        got=g.ignition_temperature(g.load(name)) - 273.15,
        expected=celsius,
        abs=0.1,
        unit="C",
        source=source,
        why=why,
    )


def test_limits_in_oxygen_are_not_taken_for_limits_in_air() -> None:
    # A glossary seen prints 94 % for hydrogen and 61 % for methane under "in air": they are the figures for oxygen.
    for name, printed in (("hydrogen", 0.94), ("methane", 0.61)):
        air, oxygen = g.limits(g.load(name), "air"), g.limits(g.load(name), "oxygen")
        assert air is not None
        assert oxygen is not None
        assert printed - air[1] > 0.15
        check(
            f"upper-in-oxygen-{name}",
            kind=COPIED,
            got=oxygen[1],
            expected=printed,
            abs=0.005,
            unit="1",
            source="figures in print for oxygen, under the heading of air: glossary of an energy journal, page not kept",
            why="copied figure",
        )


HEATING = [  # gas, gross and net BTU/ft3, tolerance with its reason; Piping Calculations Manual
    ("acetylene", 1498, 1447, 0.02, "handbook counts a real ft3 and older heats: 1.6 % above formation heats"),
    ("methane", 1011, 910, 0.004, "printed to 3 or 4 figures"),
    ("propane", 2572, 2365, 0.025, "handbook counts a real ft3: 2.3 % above the ideal 60 °F value"),
    ("propylene", 2332, 2181, 0.004, "printed to 4 figures"),
    ("hydrogen", 325, 275, 0.005, "printed to 3 figures"),
]


@pytest.mark.parametrize(("name", "gross", "net", "tolerance", "why"), HEATING)
def test_heating_values_follow_the_handbook(name: str, gross: float, net: float, tolerance: float, why: str) -> None:
    fuel = g.load(name)
    volume = g.GAS_CONSTANT * SIXTY_F / ATMOSPHERE
    source = "Piping Calculations Manual, heating value table (seen at second hand)"
    got = g.higher_heat(fuel) / volume / BTU_PER_FT3
    check(f"gross-{name}", kind=PRINTED, got=got, expected=gross, rel=tolerance, unit="BTU/ft3", source=source, why=why)
    check(
        f"net-{name}",
        kind=PRINTED,
        got=g.lower_heat(fuel) / volume / BTU_PER_FT3,
        expected=net,
        rel=tolerance,
        unit="BTU/ft3",
        source=source,
        why=why,
    )


def test_propane_of_the_handbook_is_two_per_cent_above_the_ideal_gas() -> None:
    got = g.higher_heat(g.load("propane")) / (g.GAS_CONSTANT * SIXTY_F / ATMOSPHERE) / BTU_PER_FT3
    assert 0.02 < 2572 / got - 1.0 < 0.025


def test_the_handbook_columns_for_acetylene_by_weight_are_swapped() -> None:
    printed_gross, printed_net = 21569, 21837  # BTU/lb: net above gross cannot be
    acetylene = g.load("acetylene")
    gross, net = (heat(acetylene) / acetylene.molar_mass / BTU_PER_LB for heat in (g.higher_heat, g.lower_heat))
    assert net < gross
    assert printed_net > printed_gross
    assert printed_net / net > 1.05, "the net figure as printed is 5 % above the true one"
    why = "swapped back, the gross figure is 1.6 % high, as its ft3 figure is; the other stays 3.9 % high"
    check(
        "acetylene-gross-per-lb",
        kind=PRINTED,
        got=gross,
        expected=printed_net,
        rel=0.02,
        unit="BTU/lb",
        source="Piping Calculations Manual, swapped back",
        why=why,
    )


def test_the_misprinted_calories_of_1909_are_out_by_ten() -> None:
    acetylene = g.load("acetylene")
    moles = g.density(acetylene, 101325.0, 273.15) / acetylene.molar_mass * 0.028316846592
    got = g.higher_heat(acetylene) * moles / KILOCALORIE
    why = "1909 calorimetry; 401.9 is 1.5 % above formation heats"
    check(
        "acet1909-calories",
        kind=PRINTED,
        got=got,
        expected=401.9,
        rel=0.03,
        unit="kcal/ft3",
        source="Acetylene, the Principles of its Generation and Use, 1909, misprint 40.19 corrected",
        why=why,
    )
    assert got / 40.19 > 9.0


HEATS = [  # gas, oxygen, gross and net kJ/mol from standard heats of formation
    ("acetylene", 2.5, 1301.0, 1257.0),
    ("propane", 5.0, 2219.2, 2043.2),
    ("propylene", 4.5, 2058.0, 1926.0),
    ("methane", 2.0, 890.6, 802.6),
    ("hydrogen", 0.5, 285.8, 241.8),
]


@pytest.mark.parametrize(("name", "oxygen", "gross", "net"), HEATS)
def test_heats_follow_standard_formation_heats(name: str, oxygen: float, gross: float, net: float) -> None:
    fuel = g.load(name)
    assert g.complete_oxygen(fuel) == oxygen
    source, why = "standard heats of formation, 298.15 K, from memory", "two tables of formation heats, given to a tenth of a kJ"
    check(
        f"formation-gross-{name}",
        kind=ANOTHER,
        got=g.higher_heat(fuel) / 1e3,
        expected=gross,
        rel=5e-4,
        unit="kJ/mol",
        source=source,
        why=why,
    )
    check(
        f"formation-net-{name}", kind=ANOTHER, got=g.lower_heat(fuel) / 1e3, expected=net, rel=5e-4, unit="kJ/mol", source=source, why=why
    )


TRADE_FLAMES = [
    ("acetylene", 1.2, 3160),
    ("propane", 4.3, 2810),
    ("propylene", 3.7, 2872),
    ("hydrogen", 0.42, 2834),
    ("methane", 1.8, 2770),
]


@pytest.mark.parametrize(("name", "ratio", "celsius"), TRADE_FLAMES)
def test_flame_temperatures_are_near_the_trade_figures(name: str, ratio: float, celsius: float) -> None:
    got = g.flame(g.load(name), ratio).temperature - 273.15
    why = "trade lists differ by 60 K among themselves (acetylene 3100 or 3160, hydrogen 2660 or 2834)"
    check(
        f"trade-flame-{name}",
        kind=PRINTED,
        got=got,
        expected=celsius,
        abs=60.0,
        unit="C",
        source="fuel gas tables of the trade, from memory",
        why=why,
    )


COMPUTED_FLAMES = [
    ("acetylene", 1.1, 3382),
    ("acetylene", 1.5, 3432),
    ("acetylene", 1.7, 3421),
    ("propane", 3.5, 3068),
    ("propane", 4.3, 3101),
    ("methane", 1.5, 3029),
    ("methane", 1.75, 3055),
    ("hydrogen", 0.25, 2826),
    ("hydrogen", 0.4, 3058),
    ("hydrogen", 0.5, 3077),
]


@pytest.mark.parametrize(("name", "ratio", "kelvins"), COMPUTED_FLAMES)
def test_flame_temperatures_follow_an_earlier_calculation(name: str, ratio: float, kelvins: float) -> None:
    got = g.flame(g.load(name), ratio).temperature
    source, why = (
        "cantera 3.2 with GRI-Mech 3.0, reactants at 25 °C",
        "5 °C colder reactants are 1 K; whole kelvins; straight line between rows",
    )
    check(f"flame-{name}-{ratio}", kind=FITTED, got=got, expected=kelvins, abs=4.0, unit="K", source=source, why=why)


def test_the_flame_is_hottest_at_the_trade_ratio() -> None:
    for name, low, high in (("propane", 4.1, 4.5), ("methane", 1.7, 1.9), ("acetylene", 1.35, 1.6)):
        first, last = g.flame_range(g.load(name))
        ratios = [first + (last - first) * k / 200.0 for k in range(201)]
        assert low <= max(ratios, key=lambda r: g.flame(g.load(name), r).temperature) <= high


def test_a_neutral_ratio_of_natural_gas_seen_in_print_is_inside_ours() -> None:
    low, typical, high = g.neutral_ratio(g.load("methane"))
    assert low <= 1.5 <= high
    assert low < typical < high


DENSITIES = [  # kg/m3 at 101.325 kPa and 0, 15, 20 °C
    ("oxygen", 1.42903, 1.35436, 1.33118),
    ("nitrogen", 1.25039, 1.18510, 1.16483),
    ("air", 1.29307, 1.22554, 1.20458),
    ("methane", 0.71746, 0.67983, 0.66816),
    ("propane", 2.01050, 1.89923, 1.86499),
    ("propylene", 1.91387, 1.80868, 1.77628),
    ("hydrogen", 0.08988, 0.08520, 0.08375),
]


@pytest.mark.parametrize(("name", "cold", "mild", "warm"), DENSITIES)
def test_densities_follow_the_computed_list(name: str, cold: float, mild: float, warm: float) -> None:
    for celsius, expected in ((0.0, cold), (15.0, mild), (20.0, warm)):
        got = g.density(g.load(name), 101325.0, 273.15 + celsius)
        check(
            f"density-{name}-{celsius:.0f}C",
            kind=FITTED,
            got=got,
            expected=expected,
            rel=3e-4,
            unit="kg/m3",
            source="CoolProp 8.0",
            why="fit; 4 or 5 figures",
        )


SATURATED = [  # °C, propane bar, propylene bar, propane kJ/kg, propane liquid kg/m3
    (-40, 1.111, 1.415, 423.4, 578.4),
    (-20, 2.445, 3.056, 400.8, 554.5),
    (0, 4.745, 5.841, 374.9, 528.6),
    (20, 8.365, 10.17, 344.3, 500.1),
    (40, 13.694, 16.484, 307.1, 467.5),
]


@pytest.mark.parametrize(("celsius", "propane", "propylene", "heat", "liquid"), SATURATED)
def test_saturation_follows_the_computed_list(celsius: float, propane: float, propylene: float, heat: float, liquid: float) -> None:
    t, fuel = celsius + 273.15, g.load("propane")
    source, why = "CoolProp 8.0", "fit; given to 4 figures"
    check(
        f"sat-propane-{celsius}",
        kind=FITTED,
        got=g.saturation_pressure(fuel, t) / 1e5,
        expected=propane,
        rel=1e-3,
        unit="bar",
        source=source,
        why=why,
    )
    got = g.saturation_pressure(g.load("propylene"), t) / 1e5
    check(f"sat-propylene-{celsius}", kind=FITTED, got=got, expected=propylene, rel=1e-3, unit="bar", source=source, why=why)
    check(
        f"sat-heat-{celsius}", kind=FITTED, got=g.latent_heat(fuel, t) / 1e3, expected=heat, rel=1e-3, unit="kJ/kg", source=source, why=why
    )
    check(
        f"sat-liquid-{celsius}",
        kind=FITTED,
        got=g.saturated_liquid_density(fuel, t),
        expected=liquid,
        rel=1e-3,
        unit="kg/m3",
        source=source,
        why=why,
    )


def test_critical_pressure_follows_a_textbook() -> None:
    got = 1.4e6 * g.critical_pressure_ratio(1.289) / 1e3
    source = "Fluid Mechanics: Fundamentals and Applications, example 12-4, through fluids 1.3.1"
    check(
        "critical-pressure-textbook", kind=PRINTED, got=got, expected=766.8, rel=2e-4, unit="kPa", source=source, why="printed to 4 figures"
    )
