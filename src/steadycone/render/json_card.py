"""A card as the contract's JSON: fixed keys, fixed units, and a hash over both."""

import hashlib
from typing import Any

from steadycone import __version__, canonical
from steadycone.assembly.figures import AsSetLine, Figures, LineFigures, LineTest, SideTest
from steadycone.card.card import Card, SupplyNeed
from steadycone.data import reader
from steadycone.practice import draw
from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity
from steadycone.render import emergency
from steadycone.render.limit_text import limit_text
from steadycone.render.place_note import place_told
from steadycone.render.words import Words

FORMAT = "steadycone-card/1"
REFERENCE_STATE = "0 °C, 1.01325 bar"
_DIGITS = 7  # significant: far above any instrument, below the noise from one machine to the next


def card_dict(card: Card, *, sealed: bool = True) -> dict[str, Any]:
    """The whole card, ready to be written as JSON.

    A key that cannot apply is left out; None is applicable but unknown. `sealed` False leaves out `hash` and `made_by`, for a card
    that is shown while somebody types and kept by nobody.
    """
    figures, words = card.figures, Words.of(card.figures.setup.station.station.region)
    told: dict[str, Any] = {
        "format": FORMAT,
        "reference_state": REFERENCE_STATE,
        "on": figures.on.isoformat(),
        "station": _station(figures),
        "job": _job(figures),
        "verdict": card.verdict,
        "tip": _tip(figures),
    }
    if place := place_told(figures, words):
        told["place"] = place
    for name, line in figures.lines.items():
        told[name] = _line(line, figures.leak_test.lines[name], card.needs.get(name))
    told["leak_test"] = {
        "watch": told_number(figures.leak_test.watch, "minutes"),
        "reject": told_number(figures.leak_test.reject, "leak"),
    }
    told["flame"] = {"oxygen_to_fuel": told_number(figures.flame_ratio, "number")}
    if figures.as_set:
        told["as_set"] = {name: _as_set(line) for name, line in figures.as_set.lines.items()}
        told["as_set"]["oxygen_to_fuel"] = told_number(figures.as_set.oxygen_to_fuel, "number")
    if card.draw_rules:
        told["draw_rules"] = [_draw_rule(rule) for rule in card.draw_rules]
    told["findings"] = [told_finding(finding, words) for finding in card.findings]
    told["steps"] = [
        {
            "id": step.id,
            "phase": step.phase,
            "do": words.fill(step.do, step.numbers),
            "why": words.fill(step.why, step.numbers),
            "evidence": step.evidence,
            "numbers": {key: told_number(number, number.kind) for key, number in step.numbers.items()},
            "variant": step.variant,
            "source": list(step.source),
        }
        for step in card.steps
    ]
    told["assumed"] = [{"field": field, "taken": taken} for field, taken in figures.assumed]
    told["cautions"] = cautions(card, words)
    told["emergency"] = emergency.branches(figures.setup.station.station.region)
    told["sources"] = used_sources(card, told)
    if not sealed:
        return told
    told["hash"] = card_hash(told)
    told["made_by"] = {"version": __version__, "data": reader.fingerprint()}
    return told


def card_hash(told: dict[str, Any]) -> str:
    """SHA-256 of the canonical JSON (RFC 8785) without `hash` and `made_by`."""
    return hashlib.sha256(canonical.dumps({key: value for key, value in told.items() if key not in ("hash", "made_by")})).hexdigest()


def card_bytes(told: dict[str, Any]) -> bytes:
    """The card dictionary as indented UTF-8 JSON with a final newline."""
    import msgspec

    return msgspec.json.format(msgspec.json.encode(told), indent=2) + b"\n"


def cautions(card: Card, words: Words) -> list[dict[str, Any]]:
    """The cautions that belong to this card's fuel, filled; the acetylene cap from the policy in force."""
    figures = card.figures
    fuel = figures.setup.station.station.fuel
    cap = words.numbers.joined(limit_text(figures.cap.gauge, words), "gauge pressure")
    return [
        {"id": caution["id"], "says": words.fill(caution["says"], {"cap": cap}), "source": [caution["source"]]}
        for caution in reader.toml("cautions.toml")["caution"]
        if fuel in caution.get("when", [fuel])
    ]


def used_sources(card: Card, told: dict[str, Any]) -> dict[str, dict[str, str]]:
    """Every source the card names, in order of first use; the site's own policy is a source too."""
    keys = [key for part in ("findings", "steps", "cautions") for item in told[part] for key in item["source"]]
    keys += [rule["source"] for rule in told.get("draw_rules", [])]
    known = reader.sources()
    site = card.figures.setup.policy.site
    found: dict[str, dict[str, str]] = {}
    for key in dict.fromkeys([*card.sources, *keys, "emergency-order"]):
        found[key] = {name: known[key].get(name, "") for name in ("title", "kind", "place", "note")}
        if key == "site-policy":
            found[key]["place"] = site
    return found


def told_number(number: Quantity | None, kind: str) -> dict[str, float | str | None] | None:
    if number is None or number.value is None:
        return None
    told = (number if number.kind == kind else Quantity(number.value, number.low, number.high, kind)).out()
    return {key: _rounded(x) if isinstance(x, float) else x for key, x in told.items()}


def _rounded(x: float) -> float:
    return float(f"{x:.{_DIGITS}g}") + 0.0  # + 0.0 turns -0.0 into 0.0


def _station(figures: Figures) -> dict[str, str]:
    about = figures.setup.station.station
    return {"name": about.name, "region": about.region, "fuel": about.fuel}


def _job(figures: Figures) -> dict[str, Any]:
    job = figures.job
    given = {
        "thickness": (job.thickness, "thickness"),
        "effective_thickness": (job.effective_thickness, "thickness"),
        "length": (job.length, "length"),
        "speed": (job.speed, "speed"),
        "time": (job.time, "minutes"),
    }
    written = figures.setup.station.job.material
    told: dict[str, Any] = {"kind": job.kind, "material": job.material or written}
    return told | {key: told_number(number, kind) for key, (number, kind) in given.items() if number is not None}


def _tip(figures: Figures) -> dict[str, Any]:
    chart, tip = figures.setup.chart, figures.tip
    return {
        "size": tip.size,
        "chart": chart.name if chart else None,
        "basis": chart.basis if chart else None,
        "estimate": tip.estimate,
    }


def _draw_rule(rule: draw.DrawRule) -> dict[str, Any]:
    """One customary rule in one reading, beside the one in force."""
    return {
        "share": rule.share,
        "of": rule.of,
        "limit": told_number(rule.limit, "flow"),
        "cylinders": rule.cylinders,
        "source": rule.source,
    }


def _line(line: LineFigures, test: LineTest, need: SupplyNeed | None) -> dict[str, Any]:
    supply, proving = line.supply, line.proving
    told: dict[str, Any] = {
        "torch_inlet_pressure": told_number(line.torch_inlet, "gauge pressure"),
        "regulator_flowing_pressure": told_number(line.flowing, "gauge pressure"),
        "regulator_static_pressure": told_number(line.static, "gauge pressure"),
        "set_pressure": told_number(line.set_pressure, "gauge pressure"),
        "loss_hoses": told_number(line.loss_hoses, "pressure difference"),
        "loss_parts": told_number(line.loss_parts, "pressure difference"),
        "flow": told_number(line.flow, "flow"),
    }
    if line.cutting_flow is not None:
        told["cutting_flow"] = told_number(line.cutting_flow, "flow")
    if line.preheat_flow is not None:
        told["preheat_flow"] = told_number(line.preheat_flow, "flow")
    stored = line.line.supply.has_cylinders or supply.contents.value is not None  # a pipeline holds nothing that could run out
    if stored:
        told["contents"] = told_number(supply.contents, "amount")
    if need is not None and need.draw_limit is not None:
        told["draw_limit"] = told_number(need.draw_limit, "flow")
    if need is not None and line.line.supply.has_cylinders:
        told |= {"cylinders_needed": need.cylinders_needed, "cylinders_needed_at_half": need.cylinders_needed_at_half}
    if stored:
        told["duration"] = told_number(supply.duration, "minutes")
    return told | {
        "trapped_volume": told_number(proving.trapped_volume, "volume"),
        "test_pressure": told_number(test.low.pressure, "gauge pressure"),
        "test_reject": told_number(test.low.reject, "leak"),
        "leak_floor": told_number(test.low.floor, "leak"),
        "leak_wait": told_number(test.low.wait, "minutes"),
        **_high_side(test.high),
        "purge_time": told_number(proving.purge_time, "seconds"),
        "purge_released": told_number(proving.purge_released, "released"),
    }


def _high_side(side: SideTest) -> dict[str, Any]:
    """Nothing where no needle can show a leak: liquid keeps the pressure up, or a pipe's regulator need have no gauge."""
    if side.state in ("blind", "no gauge"):
        return {}
    return {"high_leak_floor": told_number(side.floor, "leak"), "high_leak_wait": told_number(side.wait, "minutes")}


def _as_set(line: AsSetLine) -> dict[str, Any]:
    told: dict[str, Any] = {
        "regulator_pressure": told_number(line.regulator, "gauge pressure"),
        "torch_inlet_pressure": told_number(line.torch_inlet, "gauge pressure"),
        "flow": told_number(line.flow, "flow"),
    }
    if line.cutting_flow is not None:
        told["cutting_flow"] = told_number(line.cutting_flow, "flow")
    if line.preheat_flow is not None:
        told["preheat_flow"] = told_number(line.preheat_flow, "flow")
    return told | {"state": line.state}


def told_finding(finding: Finding, words: Words) -> dict[str, Any]:
    told: dict[str, Any] = {
        "code": finding.code,
        "verdict": finding.verdict,
        "subject": finding.subject,
        "says": words.says(finding),
    }
    for key in ("value", "limit", "margin"):
        number: Quantity | None = getattr(finding, key)
        if number is not None:
            told[key] = told_number(number, number.kind)
    return told | {"source": list(finding.sources), "remedy": words.remedy(finding)}
