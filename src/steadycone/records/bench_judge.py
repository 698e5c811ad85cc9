"""One reading of a bench list to a test with its number: the worksheets work it out and judge it, as `calc` does. Nothing is written here."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from steadycone.data.reader import toml
from steadycone.errors import InputError, OutOfRange, Refused, UnknownName, nearest
from steadycone.practice.bench import Ends, Judged, judge_cut_off, judge_least, judge_lock_up, lacks_evidence, meter_error, only_doubt, said
from steadycone.practice.examination import held_to_limit
from steadycone.practice.finding import Verdict
from steadycone.records.events import Test
from steadycone.records.rows import Item
from steadycone.units import GasFlow, Pressure, PressureDifference, Share, Temperature
from steadycone.worksheets.declare import shown
from steadycone.worksheets.kinds import FlowPoints, GaugePairs
from steadycone.worksheets.run import answer

Cells = Mapping[str, str]
Found = Mapping[str, float | str | None]
_TO_20 = 293.15 / 273.15  # a worksheet's cm3 are at 0 °C, the register's leaks at 20 °C: bench-limit-state
_STATE = "20 °C, 1.01325 bar"
_WITH = {"creep": "master gauge", "lock-up": "master gauge", "gauge error": "master gauge", "flow": "flow meter"}
_PASSED = ("test gas", "temperature", "minutes", "tube", "bubble volume", "volume", "start", "service volume", "readability", "limit")


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading, judged. `value` is the end that was judged, `limit` what was given for it or worked out; both with units.

    held : the limit as the register tells it, the kind's own included
    readings : what was read, name to text with its unit, as the register takes it
    """

    test: Test
    value: str
    limit: str
    verdict: Verdict
    says: str
    readings: dict[str, str] = field(default_factory=dict)
    gas: str = ""
    note: str = ""
    held: str = ""


def measured(cells: Cells, item: Item, instrument: Item | None, cap: float | None = None) -> Measured:
    """A reading of an item, judged at its unsafe end.

    Parameters
    ----------
    instrument : what the register has under the mark that the row names; its ratings "class", "full scale" and "error" are taken
    cap : the region's for acetylene [Pa gauge], for a lock-up

    Raises
    ------
    UnknownName : no such test. InputError and its kin : a field missing or wrong, `where` naming it. Refused : the test could not have
    shown its limit, or what it was read with is not said; it is to be measured again.

    Source      bench-lacking; instrument-in-date
    """
    name = " ".join(cells.get("test", "").lower().split())
    name = {"gauge": "gauge error", "leak": "tightness", "cut off": "cut-off", "lock up": "lock-up", "lockup": "lock-up"}.get(name, name)
    if name not in _JUDGES:
        raise UnknownName(
            f'"{name[:40]}" is not a test of the bench' if name else "no test named", where="test", try_=nearest(name, _JUDGES)
        )
    _check_instrument(name, cells, instrument)
    found = _JUDGES[name](cells, item, instrument, cap)
    if lacks_evidence(found.verdict, found.says):
        limit = held_to_limit(item.item, found.test, found.value, found.limit).limit or "not known"
        raise Refused(f"{found.value} proves nothing yet (limit: {limit})", where=name, try_=found.says)
    return _as_registered(found, item)


def _as_registered(found: Measured, item: Item) -> Measured:
    """With the limit that the register holds it to; what the register would call a failed test is none that passed."""
    held = held_to_limit(item.item, found.test, found.value, found.limit)
    if held.outcome == "outside" and found.verdict == "go":
        found = replace(found, verdict="stop", says=said("leak-over"))
    return replace(found, held=held.limit or found.limit)


def _check_instrument(name: str, cells: Cells, instrument: Item | None) -> None:
    """Raises  Refused: read on a gauge or a meter that the row does not name, or on one of another kind."""
    kind = _WITH.get(name) or ("master gauge" if "rise" in cells else "flow meter" if "flow" in cells else "")
    if kind and instrument is None:
        raise Refused(f"no instrument named for {name}", where="instrument", try_=f"Write the mark of the {kind} it was read with.")
    if kind and instrument is not None and instrument.item != kind:
        raise Refused(
            f'"{instrument.mark}" is a {instrument.item}; {name} is read with a {kind}', where="instrument", try_="Check the mark."
        )


# --- leaks --------------------------------------------------------------------------


def _leak(cells: Cells, item: Item, instrument: Item | None, cap: float | None, name: Test) -> Measured:
    modes = {"bubbles": "bubbles", "rise": "creep", "flow": "meter"}
    given = [key for key in modes if key in cells]
    if len(given) != 1:
        said = f"both {' and '.join(given)}" if given else "nothing read"
        raise InputError(
            f"{said} for {name}", where=name, try_="Give one of bubbles (a minute), rise (with volume, minutes, start) or flow."
        )
    service = _service(cells, item)
    pairs = {key.replace(" ", "_"): cells[key] for key in _PASSED if key in cells}
    pairs |= {"mode": modes[given[0]], "service_gas": service, "reference_state": _STATE}
    pairs["creep" if given[0] == "rise" else given[0]] = cells[given[0]]
    if part := toml("examination.toml")["limit"].get(item.item, {}).get(name):
        pairs["part"] = part
    if given[0] == "flow" and (error := _meter(cells, instrument)):
        pairs["meter_error"] = error
    found = _answered("bench", pairs)
    test_gas = cells.get("test gas", "air")
    own = found if test_gas == service else _answered("bench", pairs | {"service_gas": test_gas})
    _check_shown(found, own, name)
    most = max(_number(found, "leak_cm3_per_h_high"), _number(own, "leak_cm3_per_h_high")) * _TO_20
    return Measured(name, f"{most:.4g} cm3/h", cells.get("limit", ""), *_judged(found), _read(cells), test_gas, _note(cells, service))


def _check_shown(found: Found, own: Found, name: Test) -> None:
    """Raises  Refused: the test could not tell this leak from none, and only its own doubt reaches over the limit."""
    leak = Ends(*(_number(own, f"leak_cm3_per_h{end}") for end in ("", "_low", "_high")))
    limit = found["limit_cm3_per_h"]
    if found["verdict"] == "stop" and only_doubt(leak, float(limit) if isinstance(limit, float) else None):
        told = f"{leak.value * _TO_20:.3g} cm3/h read, and only what the test leaves open, {leak.high * _TO_20:.3g}, is over the limit"
        raise Refused(told, where=name, try_=said("leak-doubt"))


def _tightness(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    return _leak(cells, item, instrument, cap, "tightness")


def _reverse(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    return _leak(cells, item, instrument, cap, "reverse flow")


def _creep(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    if "rise" not in cells:
        raise InputError("no rise", where="rise", try_="Give rise, minutes, volume and start: the pressure at the beginning.")
    return _leak(cells, item, instrument, cap, "creep")


def _service(cells: Cells, item: Item) -> str:
    """The gas that it is judged for. Raises InputError: a kind of gear that serves several, and none named."""
    gas = cells.get("service gas") or {"natural gas": "methane", "lpg": "propane"}.get(item.gas, item.gas)
    if gas in ("", "any fuel", "mps"):
        raise InputError(
            f"{item.mark} serves {item.gas or 'no gas that the register knows'}",
            where="service gas",
            try_="Name the gas that it is used with.",
        )
    return gas


# --- the others ---------------------------------------------------------------------


def _flow(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    """Against the maker's curve, or at least the limit of the maker's sheet."""
    if "flow points" not in cells:
        return _least(cells, item, instrument)
    pairs = {
        key.replace(" ", "_"): cells[key]
        for key in ("test gas", "flow", "inlet", "drop", "readability", "temperature", "flow points")
        if key in cells
    }
    if error := _meter(cells, instrument):
        pairs["meter_error"] = error
    pairs["service_gas"] = _service(cells, item)
    found = _answered("arrestor", pairs)
    asked = _number(found, "curve_flow_m3_per_h")
    value, limit = _number(found, "share_of_curve_low") * asked, _number(found, "limit_share") * asked
    note = _note(cells, pairs["service_gas"], f"limit {_number(found, 'limit_share'):.0%} of the curve {cells['flow points']}")
    gas = cells.get("test gas", "air")
    return Measured("flow", f"{value:.5g} m3/h", f"{limit:.5g} m3/h", *_judged(found), _read(cells), gas, note)


def _least(cells: Cells, item: Item, instrument: Item | None) -> Measured:
    flow, limit = (
        GasFlow.parse(_need(cells, "flow")),
        GasFlow.parse(_need(cells, "limit", "Give limit, from the maker's sheet, or flow points.")),
    )
    if flow.by_mass != limit.by_mass:
        raise InputError("flow and limit are of two kinds", where="limit", try_="Write both by volume, or both by mass.")
    text = _meter(cells, instrument)
    off = flow.si * (Share.parse(text).si if text else meter_error()) + flow.half_digit
    judged = judge_least(Ends(flow.si, max(flow.si - off, 0.0), flow.si + off), limit.si)
    value, asked = (f"{_per_hour(si, flow.by_mass)} {'kg/h' if flow.by_mass else 'm3/h'}" for si in (max(flow.si - off, 0.0), limit.si))
    return Measured("flow", value, asked, *judged, _read(cells), cells.get("test gas", "air"), _note(cells))


def _per_hour(si: float, by_mass: bool) -> str:
    return f"{si * 3600.0 if by_mass else shown('flow', si):.5g}"


def _lock_up(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    flowing, static = Pressure.parse(_need(cells, "flowing")), Pressure.parse(_need(cells, "static"))
    if flowing.absolute or static.absolute or flowing.si <= 0.0:
        raise OutOfRange("flowing and static are gauge pressures above 0", where="flowing", try_='Write for example "3.0 bar".')
    half = PressureDifference.parse(cells["readability"]).si / 2.0 if "readability" in cells else max(flowing.half_digit, static.half_digit)
    if half >= flowing.si:
        raise Refused(f'"{flowing.text}" is read too coarsely', where="flowing", try_="Write every digit you can read.")
    share = Ends(
        static.si / flowing.si - 1.0, (static.si - half) / (flowing.si + half) - 1.0, (static.si + half) / (flowing.si - half) - 1.0
    )
    own = toml("examination.toml")["own"].get(item.item, {}).get("lock-up")
    if own is None and "limit" not in cells:
        raise InputError(f"no lock-up is known for a {item.item}", where="limit", try_="Give limit, from the maker's sheet.")
    limits = [Share.parse(text).si for text in (cells.get("limit"), own and own["value"]) if text]
    over = item.gas == "acetylene" and cap is not None and static.si + half > cap * (1.0 + 1e-9)
    judged = judge_lock_up(share, min(limits), over)
    return Measured(
        "lock-up",
        f"{max(share.high, 0.0) * 100.0:.4g} %",
        cells.get("limit", ""),
        *judged,
        _read(cells),
        cells.get("test gas", ""),
        _note(cells),
    )


def _gauge(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    assert instrument is not None
    pairs = {"readings": _need(cells, "readings"), "full_scale": cells.get("full scale") or item.ratings.get("full scale", "")}
    if not pairs["full_scale"]:
        raise InputError("no full scale", where="full scale", try_='Give the full scale of the gauge, such as "16 bar".')
    pairs |= {"gauge_class": cells.get("gauge class") or item.ratings.get("class", "2.5")}
    pairs |= {
        key: text for key, text in (("readability", cells.get("readability")), ("master_class", instrument.ratings.get("class"))) if text
    }
    if scale := instrument.ratings.get("full scale"):
        pairs["master_full_scale"] = scale
    found = _answered("gauge", pairs)
    if "master_class" not in pairs:
        raise Refused(
            f'"{instrument.mark}" has no class in the register',
            where="instrument",
            try_='Add it with --rating class=0.6 --rating "full scale=16 bar".',
        )
    worst = max(abs(_number(found, "error_percent_low")), abs(_number(found, "error_percent_high")))
    return Measured(
        "gauge error", f"{worst:.4g} %", f"{_number(found, 'limit_percent'):g} %", *_judged(found), _read(cells), "", _note(cells)
    )


def _cut_off(cells: Cells, item: Item, instrument: Item | None, cap: float | None) -> Measured:
    shut_at, resets = _need(cells, "shut at"), _need(cells, "resets", "Say yes or no: whether it opens again as its maker says.").lower()
    if resets not in ("yes", "no"):
        raise InputError(f'"{resets[:40]}" is neither yes nor no', where="resets", try_="Write yes or no.")
    text = _need(cells, "limit", "Give limit, from the maker's sheet: no figure is known without it.")
    kind = Pressure if _is(Pressure, shut_at) else Temperature
    value, limit = kind.parse(shut_at), kind.parse(text)
    judged = judge_cut_off(Ends(value.si, value.si - value.half_digit, value.si + value.half_digit), limit.si, resets == "yes")
    return Measured("cut-off", shut_at, text, *judged, _read(cells), cells.get("test gas", ""), _note(cells, "", f"resets: {resets}"))


_JUDGES: dict[str, Callable[[Cells, Item, Item | None, float | None], Measured]] = {
    "creep": _creep,
    "tightness": _tightness,
    "reverse flow": _reverse,
    "flow": _flow,
    "lock-up": _lock_up,
    "gauge error": _gauge,
    "cut-off": _cut_off,
}


# --- helpers ------------------------------------------------------------------------


def _answered(name: str, pairs: Mapping[str, str]) -> Found:
    return answer(name, pairs)


def _judged(found: Found) -> Judged:
    verdict: Verdict = found["verdict"]  # type: ignore[assignment]
    return Judged(verdict, str(found["says"]))


def _number(found: Found, key: str) -> float:
    value = found[key]
    if not isinstance(value, float | int):
        raise InputError(f"no {key.replace('_', ' ')} from these readings", try_="Check them.")
    return float(value)


def _need(cells: Cells, name: str, try_: str = "Add it.") -> str:
    if name not in cells:
        raise InputError(f"no {name}", where=name, try_=try_)
    return cells[name]


def _meter(cells: Cells, instrument: Item | None) -> str:
    """What the meter may be off, of its reading, as written; empty where nobody says."""
    return cells.get("meter error") or (instrument.ratings.get("error", "") if instrument else "")


def _is(kind: type[Pressure], text: str) -> bool:
    try:
        kind.parse(text)
    except InputError:
        return False
    return True


def _read(cells: Cells) -> dict[str, str]:
    """What was read, piece by piece, as the register keeps it."""
    plain = ("bubbles", "minutes", "tube", "bubble volume", "rise", "volume", "start", "service volume", "readability", "flow", "meter error", "inlet",
             "drop", "flowing", "static", "full scale", "gauge class", "shut at", "temperature")  # fmt: skip
    found = {name: cells[name] for name in plain if name in cells}
    if "minutes" in found and found["minutes"].replace(".", "", 1).isdigit():
        found["minutes"] += " min"
    if "readings" in cells:
        for number, pair in enumerate(GaugePairs.parse(cells["readings"]), 1):
            found |= {f"{number} master": pair.master.text, f"{number} gauge": pair.gauge.text}
    if "flow points" in cells:
        for number, point in enumerate(FlowPoints.parse(cells["flow points"]), 1):
            found |= {
                f"curve {number} inlet": point.inlet.text,
                f"curve {number} drop": point.drop.text,
                f"curve {number} flow": point.flow.text,
            }
    return found


def _note(cells: Cells, service: str = "", more: str = "") -> str:
    return "; ".join(part for part in (f"for {service}" if service else "", more, cells.get("note", "")) if part)
