"""Every theme, in the order a lead hand would ask. The chart's own findings come from practice/chart.py, with the choice of the row."""

from steadycone.assembly.figures import Figures
from steadycone.practice import (
    acetylene,
    arrestor,
    back_flow,
    cylinder,
    dates,
    declared,
    draw,
    gauge,
    hose,
    material,
    part_flow,
    parts,
    place,
    proving,
    regulator,
    supply,
    tip,
    work,
)
from steadycone.practice.finding import Finding

THEMES = (
    declared, place, acetylene, arrestor, back_flow, tip, material, work, regulator, gauge, parts, part_flow, hose,
    supply, cylinder, draw, dates, proving,
)  # fmt: skip


def judge_all(figures: Figures) -> tuple[Finding, ...]:
    """Every finding of every theme, go included, in the themes' order."""
    return tuple(finding for theme in THEMES for finding in theme.judge(figures))
