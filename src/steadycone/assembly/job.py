"""The job's own figures: what thickness the cut sees, how fast, how long."""

import math

from steadycone.assembly.figures import JobFigures
from steadycone.assembly.target import share_of_band
from steadycone.data.reader import toml
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.chart import Row
from steadycone.station.job import Job


def effective_thickness(job: Job) -> float | None:
    """Thickness along the cut [m]: a bevel from square lengthens it by 1/cos."""
    if job.thickness is None:
        return None
    return job.thickness.si / math.cos(math.radians(job.bevel.si if job.bevel else 0.0))


def job_figures(job: Job, row: Row | None) -> JobFigures:
    """Speed from the row at the plate's thickness; time as stated, or from length and speed. A slow cut is the long end."""
    effective = effective_thickness(job)
    speed = _speed(row, effective) if row else None
    return JobFigures(
        kind=job.kind,
        material=job.material,
        thickness=exact(job.thickness.si, "thickness") if job.thickness else None,
        effective_thickness=exact(effective, "thickness") if effective is not None else None,
        length=exact(job.length.si, "length") if job.length else None,
        speed=speed,
        time=_time(job, speed),
    )


def _speed(row: Row, thickness: float | None) -> Quantity | None:
    """Along the row's band: its fast end is for the thin plate. A speed falls steeply at first, so it lies between a straight line and a
    power of the thickness through both ends, give or take what a hand does; without a band or a plate, anywhere in the range.

    Source      judged-speed-band
    """
    if row.speed is None:
        return None
    slow, fast = sorted((row.speed[0].si, row.speed[1].si))
    if thickness is None or row.thickness_from is None or row.thickness_to is None or not 0 < row.thickness_from.si < row.thickness_to.si:
        return band((slow + fast) / 2, slow, fast, "speed")
    thin, thick = row.thickness_from.si, row.thickness_to.si
    share = share_of_band(row, thickness)
    straight = fast + share * (slow - fast)
    power = math.log((thin + share * (thick - thin)) / thin) / math.log(thick / thin)
    steep = fast * (slow / fast) ** power
    hand: float = toml("defaults.toml")["chart"]["hand_speed"]
    return band((straight + steep) / 2, max(slow, steep * (1 - hand)), min(fast, straight * (1 + hand)), "speed")


def _time(job: Job, speed: Quantity | None) -> Quantity | None:
    """Seconds from first light to last, at the job's duty; None where the job states nothing to work it out from."""
    if job.time:
        return exact(job.time.si, "minutes")
    if job.length is None:
        return None
    if speed is None:
        return unknown("minutes")
    length = job.length.si / duty_of(job)
    return speed.map(lambda v: length / v, "minutes")


def duty_of(job: Job) -> float:
    """Share of the job's time that the flame burns."""
    return job.duty.si if job.duty else 1.0
