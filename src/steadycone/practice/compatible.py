"""Which gear serves which gas, by its mark or, for a hose, by its grade."""

from steadycone.assembly import fuels
from steadycone.data.reader import toml


def serves(made_for: str, gas: str) -> bool:
    """Whether gear marked for one gas serves another, such as propane gear on lpg.

    made_for, gas : names as a station file has them; case does not matter. A mark nobody knows serves only itself.
    """
    mark, wanted = made_for.strip().lower(), gas.strip().lower()
    return fuels.serves(mark, wanted) or (mark == "any fuel" and wanted != "oxygen")


def hose_carries(grade: str, gas: str) -> bool | None:
    """Whether a hose of this grade may carry a gas; None when the grade is not known.

    Source      data/limits.toml, hose-grades
    """
    carried = toml("limits.toml")["hose-grades"].get(grade.strip().lower())
    if carried is None:
        return None
    return gas in carried or ("fuel" in carried and gas != "oxygen")


def hose_grade_source(grade: str) -> str:
    """Source key of what a grade means: the US letters, or the grades by name."""
    kind = "letters" if grade.strip().lower() in ("r", "rm", "t") else "named"
    return str(toml("limits.toml")["hose-grade-source"][kind])
