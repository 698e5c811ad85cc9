"""What in a chart can't be right, asked with a region's own cap on acetylene."""

from steadycone.assembly.fuels import gas_named
from steadycone.files.policy import region_policy
from steadycone.physics.gas import Gas
from steadycone.practice.chart import basis_known
from steadycone.practice.chart_check import check_chart
from steadycone.practice.finding import Finding
from steadycone.station.chart import Chart
from steadycone.units import ATMOSPHERE


def cap_of(region: str) -> float:
    """Acetylene's cap in a region [Pa gauge]. Raises UnknownName."""
    policy = region_policy(region)
    return min(cap.gauge(ATMOSPHERE) for cap in (policy.acetylene_cap, policy.acetylene_cap_absolute) if cap)


def chart_doubts(chart: Chart, region: str) -> tuple[Finding, ...]:
    """As `steadycone chart check` tells them: each names its row; none where nothing contradicts itself. Raises UnknownName."""
    fuel: Gas | None = gas_named(chart.fuel) if chart.fuel else None
    doubts = check_chart(chart, fuel, cap_of(region) if chart.fuel == "acetylene" else None)
    basis = basis_known(chart)
    return doubts if basis.verdict == "go" else (*doubts, basis)
