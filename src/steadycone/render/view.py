"""One card as everything a page needs, in its region's words and units. Every renderer starts here."""

from typing import Any

from steadycone.assembly.figures import Figures
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.quantity import Quantity
from steadycone.render import emergency
from steadycone.render.model import View
from steadycone.render.numbers import region_table
from steadycone.render.view_back import back
from steadycone.render.view_boxes import boxes
from steadycone.render.view_findings import Letters, finding_lines, go_summary, source_lines
from steadycone.render.view_lines import as_set_rows, line_rows
from steadycone.render.view_panels import panels
from steadycone.render.view_train import train
from steadycone.render.words import VERDICTS, Words, capital
from steadycone.station.marks import orange_hose

_LANGUAGES = {"uk": "en-GB", "eu": "en-GB", "us": "en-US", "ca": "en-CA", "au": "en-AU", "nz": "en-NZ"}


def view_of(card: Card, told: dict[str, Any]) -> View:
    """`told` is the card's JSON dictionary, sealed or not: its hash and its filled findings, cautions and steps are shown, not made twice."""
    figures = card.figures
    about = figures.setup.station.station
    words, letters = Words.of(about.region), Letters()
    cautions = reader.toml("cautions.toml")
    floor = emergency.floor(about.region, supplies(figures), len(figures.lines))
    findings = finding_lines(card, told["findings"], words, letters, ("stop", "caution"))
    return View(
        region=about.region,
        hoses=hose_colours(about.region, about.fuel),
        paper=region_table(about.region)["paper"]["size"],
        language=_LANGUAGES[about.region],
        name=about.name,
        job=_job(card, words),
        made=_made(card, told, words),
        hash=told.get("hash", ""),
        verdict=card.verdict,
        verdict_word=VERDICTS[card.verdict],
        verdict_says=_verdict_says(card),
        place_note=_place_note(told.get("place")),
        panels=panels(card, words),
        train=train(card, words),
        boxes=boxes(card, words),
        as_set=as_set_rows(card, words),
        findings=findings,
        go_count=sum(finding.verdict == "go" for finding in card.findings),
        go_summary=go_summary(card, words),
        go_lines=finding_lines(card, told["findings"], words, letters, ("go",)),
        never=tuple(cautions["never_short"]),
        signs=card.verdict != "stop",
        advice=cautions["advice_short"],
        chart_note=_chart_note(card, words),
        sources=source_lines(card, letters),
        details=line_rows(card, words),
        steps=tuple((step["phase"], step["do"], step["why"]) for step in told["steps"]),
        assumed=tuple((row["field"], row["taken"]) for row in told["assumed"]),
        back=back(card, findings, words),
        cautions=tuple(caution["says"] for caution in told["cautions"]),
        floor_heading=floor["heading"],
        floor_plates=tuple(floor["plates"]),
        floor_lines=tuple(floor["lines"]),
    )


def supplies(figures: Figures) -> str:
    """What there is to shut at the source of the station's gases: "cylinders", "outlets" of pipes and tanks, or "mixed"."""
    kinds = {"cylinders" if line.line.supply.has_cylinders else "outlets" for line in figures.lines.values()}
    return kinds.pop() if len(kinds) == 1 else "mixed"


def hose_colours(region: str, fuel: str) -> str:
    """The classes that pick the gases' colours."""
    colours = region_table(region)["hoses"]
    fuel_colour = colours["fuel"] if orange_hose(fuel) else colours["acetylene"]
    return f"oxygen-{colours['oxygen']} fuel-{fuel_colour}"


def _job(card: Card, words: Words) -> str:
    figures = card.figures
    job, about = figures.job, figures.setup.station
    kind = reader.toml("card.toml")["job"][job.kind]
    thickness = words.numbers.show(job.thickness) if job.thickness is not None else ""
    material = job.material or about.job.material or ""
    material = words.table["aluminium"] if material == "aluminium" else material
    parts = [" ".join(part for part in (kind, thickness, material) if part), words.gas(about.station.fuel)]
    tip = figures.tip
    size = f"{words.table['tip']} {tip.size}" if tip.size else f"no {words.table['tip']}"
    return " · ".join([*parts, size + (" (estimate)" if tip.estimate else "")])


def _made(card: Card, told: dict[str, Any], words: Words) -> str:
    figures = card.figures
    ambient = words.numbers.show(Quantity(figures.ambient, figures.ambient, figures.ambient, "temperature"))
    seal = f"card {told['hash'][:4]} {told['hash'][4:8]}" if "hash" in told else ""
    parts = (f"Made {told['on']} for {ambient}", seal, "gauge pressures", f"flows at {words.numbers.reference_state}")
    return " · ".join(part for part in parts if part)


def _verdict_says(card: Card) -> str:
    said = reader.toml("card.toml")["verdict"]
    count = sum(finding.verdict == card.verdict for finding in card.findings)
    if card.verdict == "go":
        return str(said["go"])
    return str(said[f"{card.verdict}_one"] if count == 1 else said[card.verdict].format(count=count))


def _place_note(place: dict[str, str] | None) -> tuple[str, str] | None:
    return (place["heading"], f"{capital(place['size'])}. {place['note']}") if place else None


def _chart_note(card: Card, words: Words) -> str:
    chart = card.figures.setup.chart
    if chart is None:
        return "No chart: every number is an estimate."
    basis = {"torch inlet": f"{words.table['torch']} inlet", "regulator": "regulator", None: "not stated"}[chart.basis]
    return f"Chart: {capital(chart.title or chart.name)}, basis {basis}."
