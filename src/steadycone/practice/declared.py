"""What the file itself says is on the station and must not be: oil, and adaptors."""

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding

_CODES = {"oil": ("oil-oxygen", "no-oil"), "adaptor": ("adaptor", "no-adaptor")}


def judge(figures: Figures) -> tuple[Finding, ...]:
    """One stop for each thing declared."""
    found = []
    for declared in figures.setup.station.declared:
        code, source = _CODES[declared.kind]
        where = declared.where or "station"
        found.append(Finding(code, "stop", where, sources=(source,), blanks={"where": where}))
    return tuple(found)
