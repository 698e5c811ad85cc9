"""What is to be cut: plain oxygen cutting needs a metal that burns below its melting point, under an oxide that melts first."""

from steadycone.assembly.figures import Figures
from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity


def judge(figures: Figures) -> tuple[Finding, ...]:
    """material-not-cuttable, for a cut only."""
    if figures.job.kind != "cut":
        return ()
    written = figures.setup.station.job.material
    if written is None:
        return (Finding("material-not-cuttable", "caution", "material", sources=("not-cuttable",), text="not stated"),)
    name = canonical(written)
    blanks: dict[str, Quantity | str] = {"material": written}
    if name is None:
        return (Finding("material-not-cuttable", "caution", "material", sources=("not-cuttable",), blanks=blanks, text="unknown"),)
    entry = toml("materials.toml")["materials"][name]
    text = entry.get("text", "hardens" if entry["cut"] == "caution" else "")
    return (Finding("material-not-cuttable", entry["cut"], "material", sources=(entry["source"],), blanks=blanks, text=text),)


def canonical(written: str) -> str | None:
    """The tool's own name of a material as written, or None when it is not known."""
    tidy = " ".join(written.lower().split())
    for name, entry in toml("materials.toml")["materials"].items():
        if tidy == name or tidy in entry["names"]:
            return str(name)
    return None
