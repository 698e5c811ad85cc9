"""Which row of the chart a job gets, and whether the chart's figures may be used for it."""

from dataclasses import dataclass, replace

from steadycone.assembly.job import effective_thickness
from steadycone.errors import InputError, UnknownName, nearest
from steadycone.physics.gas import Gas
from steadycone.practice.chart_check import check_chart
from steadycone.practice.chart_doubt import ends_of, is_cutting
from steadycone.practice.compatible import chart_serves
from steadycone.practice.finding import Finding, Verdict
from steadycone.quantity import Quantity, exact
from steadycone.station.chart import Chart, Row
from steadycone.station.setup import Station

__all__ = ["Choice", "check_chart", "choose", "judged", "suspect_figures"]
_SAME = 1e-9  # a thickness this near to a band's end, relative, stands on it


@dataclass(frozen=True, slots=True)
class Choice:
    """The row for a job; None where the chart can't answer. `below` and `above` are then its neighbours, where it has any.

    `findings` holds tip-fuel, tip-attachment, chart-basis-unknown, tip-outside-chart and pierce-limit, as far as they apply.
    """

    row: Row | None
    size: str | None  # of the row, or as asked for
    thickness: float | None  # m, along the cut
    below: Row | None = None
    above: Row | None = None
    findings: tuple[Finding, ...] = ()


def choose(chart: Chart, station: Station, fuel: Gas) -> Choice:
    """The chart's row for the station's job.

    A cut goes by thickness along the cut, at a shared end by the larger size, one size up to pierce; a size asked for is taken where
    its band holds the thickness. Heating and welding go by size, by the fuel flow wanted, welding also by thickness.

    Raises
    ------
    UnknownName : a size that is not in the chart. InputError : a fuel flow wanted of a chart without fuel flows.

    Source      maker-chart; one-size-up-to-pierce
    """
    about = (_fuel(chart, station), _attachment(chart, station), basis_known(chart))
    thickness = effective_thickness(station.job)
    if any(finding.verdict == "stop" for finding in about):
        return Choice(None, station.tip.size, thickness, findings=about)
    if station.job.kind == "heat" or (station.job.kind == "weld" and thickness is None):
        picked = _for_flame(chart, station, thickness, fuel)
    elif station.tip.size is not None:
        picked = _of_size(chart, station, thickness)
    elif station.job.kind == "weld" and station.tip.fuel_flow is not None:
        picked = _by_flow(chart, station, thickness, fuel)
    else:
        picked = _by_thickness(chart, station, thickness)
    return replace(picked, findings=about + picked.findings)


def judged(suspects: tuple[Finding, ...], choice: Choice, chart: Chart) -> tuple[Finding, ...]:
    """The findings of `check_chart` beside a choice: a stop where the card would use the figure, the rest one caution a kind.

    A chart with nothing doubtful gives one go.
    """
    used = [replace(finding, verdict="stop") for finding in suspects if _is_used(finding, choice)]
    others: dict[str, list[Finding]] = {}
    for finding in suspects:
        if not _is_used(finding, choice):
            others.setdefault(finding.text, []).append(finding)
    merged = [_merged(group) for group in others.values()]
    if not suspects:
        return (Finding("chart-suspect", "go", chart.name, sources=("maker-chart",), blanks={"line": "", "size": ""}),)
    return (*used, *merged)


def suspect_figures(suspects: tuple[Finding, ...], choice: Choice) -> frozenset[str]:
    """Row fields that must not be printed as settings for this choice, such as "oxygen_pressure"; "thickness" doubts the whole row."""
    return frozenset(name for finding in suspects if _is_used(finding, choice) for name in str(finding.blanks["figures"]).split(", "))


def _is_used(finding: Finding, choice: Choice) -> bool:
    if choice.row is None or finding.text == "gap":
        return False
    lines = (finding.blanks["line"], finding.blanks.get("other_line"))
    if str(choice.row.line) not in lines:
        return False
    if finding.text != "overlap":
        return True
    shared = finding.value
    if choice.thickness is None or shared is None or shared.low is None or shared.high is None:
        return True
    return shared.low <= choice.thickness <= shared.high


def _merged(group: list[Finding]) -> Finding:
    """One finding for a doubt shared by several rows, none of them used."""
    if len(group) == 1:
        return group[0]
    sizes = ", ".join(dict.fromkeys(str(finding.blanks["size"]) for finding in group))
    lines = ", ".join(str(finding.blanks["line"]) for finding in group)
    return replace(group[0], subject=f"chart rows {lines}", blanks=group[0].blanks | {"size": sizes, "line": lines})


def _fuel(chart: Chart, station: Station) -> Finding:
    """tip-fuel: a chart for another fuel. Propane's serves lpg, and the reverse."""
    fuel = station.station.fuel
    blanks: dict[str, Quantity | str] = {"fuel": fuel, "chart_fuel": chart.fuel or "", "chart": chart.name}
    if chart.fuel is None:
        return Finding("tip-fuel", "caution", "tip", sources=("maker-chart",), blanks=blanks, text="unstated")
    fits = chart_serves(chart.fuel, fuel)
    text = "ask" if fits == "ask" else ""
    verdict: Verdict = "go" if fits == "yes" else "caution" if fits == "ask" else "stop"
    return Finding("tip-fuel", verdict, "tip", sources=("maker-chart",), blanks=blanks, text=text)


def _attachment(chart: Chart, station: Station) -> Finding:
    """tip-attachment: a cutting chart on a heating attachment, and the like. A chart that does not say is judged by its columns."""
    wanted = station.torch.attachment
    made_for = chart.attachment or ("cutting" if is_cutting(chart) else None)
    blanks: dict[str, Quantity | str] = {"attachment": wanted, "chart_attachment": made_for or "", "chart": chart.name}
    if made_for is None:
        return Finding("tip-attachment", "caution", "tip", sources=("maker-chart",), blanks=blanks, text="unstated")
    return Finding("tip-attachment", "go" if made_for == wanted else "stop", "tip", sources=("maker-chart",), blanks=blanks)


def basis_known(chart: Chart) -> Finding:
    """chart-basis-unknown: where the chart's pressures hold."""
    blanks: dict[str, Quantity | str] = {"chart": chart.name, "basis": chart.basis or ""}
    if chart.basis is None or (chart.basis == "regulator" and chart.basis_hose is None):
        text = "hose" if chart.basis else ""
        return Finding("chart-basis-unknown", "caution", "chart", sources=("maker-chart",), blanks=blanks, text=text)
    return Finding("chart-basis-unknown", "go", "chart", sources=("maker-chart",), blanks=blanks)


def _rows_of(chart: Chart, size: str) -> list[Row]:
    """The rows of one size, thinnest first. "00" is not "0", so sizes are compared as text.

    Raises  UnknownName.
    """
    rows = [row for row in chart.rows if row.size == size] or [row for row in chart.rows if row.size.lower() == size.lower()]
    if not rows:
        hint = nearest(size, [row.size for row in chart.rows])
        raise UnknownName(f'"{size}" is not a size of {chart.name}', where="tip, size", try_=hint)
    return sorted(rows, key=lambda row: ends_of(row) or (0.0, 0.0))


def _holding(rows: list[Row], thickness: float) -> Row | None:
    """The row whose band holds a thickness; at a shared end the thicker one."""
    found = [row for row in rows if (ends := ends_of(row)) and ends[0] * (1 - _SAME) <= thickness <= ends[1] * (1 + _SAME)]
    return max(found, key=lambda row: ends_of(row) or (0.0, 0.0), default=None)


def _next_size(chart: Chart, row: Row) -> Row | None:
    """The thinnest row of the next larger size."""
    ends = ends_of(row)
    thicker = [other for other in chart.rows if other.size != row.size and ends and (mine := ends_of(other)) and mine[0] > ends[0]]
    return min(thicker, key=lambda other: ends_of(other) or (0.0, 0.0), default=None)


def _by_thickness(chart: Chart, station: Station, thickness: float | None) -> Choice:
    if thickness is None:
        return _nothing_to_go_by(chart, "no-thickness")
    if not any(ends_of(row) for row in chart.rows):
        return _nothing_to_go_by(chart, "no-size")
    row = _holding(list(chart.rows), thickness)
    if row is None:
        return _outside(chart, thickness, None)
    findings: tuple[Finding, ...] = (_inside(row, thickness),)
    if station.job.kind == "cut" and station.job.start == "pierce":
        larger = _next_size(chart, row)
        findings += _pierce(larger or row, thickness, no_larger=larger is None)
        row = larger or row
    return Choice(row, row.size, thickness, findings=findings)


def _of_size(chart: Chart, station: Station, thickness: float | None) -> Choice:
    """The size asked for, at the row whose band holds the thickness (piercing: also where it is the next size up)."""
    size = station.tip.size or ""
    rows = _rows_of(chart, size)
    piercing = station.job.kind == "cut" and station.job.start == "pierce"
    if thickness is None:
        if len(rows) > 1:
            return _nothing_to_go_by(chart, "no-thickness")
        return Choice(rows[0], rows[0].size, None)
    row = _holding(rows, thickness)
    if row is None and piercing:
        usual = _holding(list(chart.rows), thickness)
        larger = _next_size(chart, usual) if usual else None
        row = larger if larger in rows else None
    if row is None and not any(ends_of(one) for one in rows) and len(rows) == 1:
        blanks: dict[str, Quantity | str] = {"size": size, "chart": chart.name}
        unbanded = Finding(
            "tip-outside-chart", "caution", "tip", exact(thickness, "thickness"), sources=("maker-chart",), blanks=blanks, text="no-bands"
        )
        return Choice(rows[0], rows[0].size, thickness, findings=(unbanded,))
    if row is None:
        return _outside(chart, thickness, size)
    findings: tuple[Finding, ...] = (_inside(row, thickness),)
    if piercing:
        findings += _pierce(row, thickness, no_larger=False)
    return Choice(row, row.size, thickness, findings=findings)


def _nothing_to_go_by(chart: Chart, text: str) -> Choice:
    """The file does not say what to choose a row by: nothing is picked, and the finding says what to add."""
    blanks: dict[str, Quantity | str] = {"chart": chart.name, "sizes": ", ".join(dict.fromkeys(row.size for row in chart.rows))}
    return Choice(
        None, None, None, findings=(Finding("tip-outside-chart", "stop", "tip", sources=("maker-chart",), blanks=blanks, text=text),)
    )


def _inside(row: Row, thickness: float) -> Finding:
    ends = ends_of(row)
    limit = exact(ends[1], "thickness") if ends else None
    return Finding(
        "tip-outside-chart", "go", "tip", exact(thickness, "thickness"), limit, sources=("maker-chart",), blanks={"size": row.size}
    )


def _outside(chart: Chart, thickness: float, size: str | None) -> Choice:
    """No band holds the thickness, or not the band of the size asked for: both neighbours, and neither picked."""
    banded = [(ends, row) for row in chart.rows if (ends := ends_of(row))]
    below = max(((ends[1], row.line, row) for ends, row in banded if ends[1] < thickness), default=None)
    above = min(((ends[0], row.line, row) for ends, row in banded if ends[0] > thickness), default=None)
    fits = _holding(list(chart.rows), thickness)
    blanks: dict[str, Quantity | str] = {
        "chart": chart.name,
        "size": size or "",
        "fits": fits.size if fits else "",
        "below": below[2].size if below else "",
        "above": above[2].size if above else "",
    }
    if below:
        blanks["below_to"] = exact(below[0], "thickness")
    if above:
        blanks["above_from"] = exact(above[0], "thickness")
    text = "size fits" if size and fits else "size" if size else "" if below and above else "below" if above else "above"
    finding = Finding("tip-outside-chart", "stop", "tip", exact(thickness, "thickness"), sources=("maker-chart",), blanks=blanks, text=text)
    return Choice(None, size, thickness, below[2] if below else None, above[2] if above else None, (finding,))


def _pierce(row: Row, thickness: float, *, no_larger: bool) -> tuple[Finding, ...]:
    """pierce-limit: thicker than the tip may pierce, or no larger tip to pierce with."""
    value, sources = exact(thickness, "thickness"), ("maker-chart", "one-size-up-to-pierce")
    if row.pierce_limit is not None:
        limit = row.pierce_limit.si
        verdict: Verdict = "stop" if thickness > limit * (1 + _SAME) else "caution" if no_larger else "go"
        margin = exact(limit - thickness, "thickness")
        text = "no-larger" if verdict == "caution" else ""
        return (Finding("pierce-limit", verdict, "tip", value, exact(limit, "thickness"), margin, sources, {"size": row.size}, text),)
    if no_larger:
        return (Finding("pierce-limit", "caution", "tip", value, sources=sources, blanks={"size": row.size}, text="no-larger"),)
    return ()


def _for_flame(chart: Chart, station: Station, thickness: float | None, fuel: Gas) -> Choice:
    """Heating, and welding without a thickness: by size, by fuel flow, or the only size there is."""
    if station.tip.size is not None:
        row = _rows_of(chart, station.tip.size)[0]
        return Choice(row, row.size, thickness)
    if station.tip.fuel_flow is not None:
        return _by_flow(chart, station, thickness, fuel)
    if len({row.size for row in chart.rows}) == 1:
        return Choice(chart.rows[0], chart.rows[0].size, thickness)
    return _nothing_to_go_by(chart, "no-size")


def _by_flow(chart: Chart, station: Station, thickness: float | None, fuel: Gas) -> Choice:
    """The smallest size whose fuel flow reaches what is wanted.

    Raises  InputError: the chart has no fuel flows.
    """
    asked = station.tip.fuel_flow
    if asked is None:
        raise AssertionError("called without a fuel flow")
    wanted = asked.amount(fuel.molar_mass)
    ranges = [
        ((row.fuel_flow[0].amount(fuel.molar_mass), row.fuel_flow[1].amount(fuel.molar_mass)), row) for row in chart.rows if row.fuel_flow
    ]
    if not ranges:
        raise InputError(f"{chart.name} has no fuel flows to choose by", where="tip, fuel_flow", try_="Add the size of the tip instead.")
    ranges.sort(key=lambda item: (item[0][1], item[0][0]))
    row = next((one for (_, most), one in ranges if wanted <= most * (1 + _SAME)), None)
    if row is not None and _reaches_down(row, wanted, fuel):
        inside = Finding("tip-outside-chart", "go", "tip", exact(wanted, "flow"), sources=("maker-chart",), blanks={"size": row.size})
        return Choice(row, row.size, thickness, findings=(inside,))
    below = next((one for (_, most), one in reversed(ranges) if most < wanted), None)
    blanks: dict[str, Quantity | str] = {"chart": chart.name, "below": below.size if below else "", "above": row.size if row else ""}
    finding = Finding("tip-outside-chart", "stop", "tip", exact(wanted, "flow"), sources=("maker-chart",), blanks=blanks, text="flow")
    return Choice(None, None, thickness, below, row, (finding,))


def _reaches_down(row: Row, wanted: float, fuel: Gas) -> bool:
    """A chart that gives one flow for a size says nothing of how far it turns down; a range does."""
    low, high = row.fuel_flow or (None, None)
    return low is None or low == high or wanted >= low.amount(fuel.molar_mass) * (1 - _SAME)
