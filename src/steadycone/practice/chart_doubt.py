"""What every doubt about a chart is made of."""

from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity
from steadycone.station.chart import Chart, Row
from steadycone.units import Pressure

CODE = "chart-suspect"


def is_cutting(chart: Chart) -> bool:
    """Whether the chart is for cutting: as it says, else by its columns."""
    if chart.attachment:
        return chart.attachment == "cutting"
    return any(row.cutting_oxygen or row.cutting_bore or row.kerf or row.pierce_limit for row in chart.rows)


def suspect(
    row: Row, text: str, figures: tuple[str, ...], value: Quantity, limit: Quantity, source: str, other: Row | None = None
) -> Finding:
    blanks: dict[str, Quantity | str] = {"size": row.size, "line": str(row.line), "figures": ", ".join(figures)}
    if other:
        blanks |= {"other_size": other.size, "other_line": str(other.line)}
    subject = f"chart row {row.line} (size {row.size})"
    return Finding(CODE, "caution", subject, value, limit, sources=("maker-chart", source), blanks=blanks, text=text)


def ends_of(row: Row) -> tuple[float, float] | None:
    """Thickness band [m], from nothing where the chart gives only its upper end; None without a band."""
    if row.thickness_to is None:
        return None
    return (row.thickness_from.si if row.thickness_from else 0.0), row.thickness_to.si


def gauges(ends: tuple[Pressure, Pressure], atmosphere: float) -> tuple[float, float]:
    return ends[0].gauge(atmosphere), ends[1].gauge(atmosphere)
