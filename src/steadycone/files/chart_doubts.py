"""What in a chart can't be right, asked with a region's own cap on acetylene."""

from steadycone.assembly.ceiling import region_cap
from steadycone.assembly.fuels import gas_named
from steadycone.files.policy import region_table
from steadycone.physics.gas import Gas
from steadycone.practice.chart import basis_known
from steadycone.practice.chart_check import check_chart
from steadycone.practice.finding import Finding
from steadycone.station.chart import Chart


def chart_doubts(chart: Chart, region: str, cap: float | None = None) -> tuple[Finding, ...]:
    """As `steadycone chart check` tells them: each names its row; none where nothing contradicts itself. Raises UnknownName.

    cap : acetylene's cap in force [Pa gauge]; the region's own where it is left out
    """
    region_table(region)  # known, or an error that names the regions
    fuel: Gas | None = gas_named(chart.fuel) if chart.fuel else None
    doubts = check_chart(chart, fuel, (region_cap(region) if cap is None else cap) if chart.fuel == "acetylene" else None)
    basis = basis_known(chart)
    return doubts if basis.verdict == "go" else (*doubts, basis)
