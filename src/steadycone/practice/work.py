"""The attachment that is on the torch, against the job. What no torch can do is refused when the file is read."""

from steadycone.assembly.figures import Figures
from steadycone.practice.finding import Finding

_SOURCE = "cutting-tip-heats-little"


def judge(figures: Figures) -> tuple[Finding, ...]:
    """job-attachment, for heating: a cutting attachment is no heating head."""
    if figures.job.kind != "heat":
        return ()
    cutting = figures.setup.station.torch.attachment == "cutting"
    return (Finding("job-attachment", "caution" if cutting else "go", "torch", sources=(_SOURCE,)),)
