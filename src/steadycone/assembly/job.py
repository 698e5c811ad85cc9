"""The job's own figures: what thickness the cut sees, how fast, how long."""

import math

from steadycone.assembly.figures import JobFigures
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.chart import Row
from steadycone.station.job import Job


def effective_thickness(job: Job) -> float | None:
    """Thickness along the cut [m]: a bevel from square lengthens it by 1/cos."""
    if job.thickness is None:
        return None
    return job.thickness.si / math.cos(math.radians(job.bevel.si if job.bevel else 0.0))


def job_figures(job: Job, row: Row | None) -> JobFigures:
    """Speed from the row, time from length and speed, or as stated. A slow cut is the long end."""
    effective = effective_thickness(job)
    speed = band(*_speeds(row), kind="speed") if row and row.speed else None
    return JobFigures(
        kind=job.kind,
        material=job.material,
        thickness=exact(job.thickness.si, "thickness") if job.thickness else None,
        effective_thickness=exact(effective, "thickness") if effective is not None else None,
        length=exact(job.length.si, "length") if job.length else None,
        speed=speed,
        time=_time(job, speed),
    )


def _speeds(row: Row) -> tuple[float, float, float]:
    assert row.speed is not None
    slow, fast = row.speed[0].si, row.speed[1].si
    return (slow + fast) / 2, slow, fast


def _time(job: Job, speed: Quantity | None) -> Quantity | None:
    """Seconds of burning; None where the job states nothing to work it out from."""
    if job.time:
        return exact(job.time.si, "minutes")
    if job.length is None:
        return None
    if speed is None:
        return unknown("minutes")
    length = job.length.si
    return speed.map(lambda v: length / v, "minutes")
