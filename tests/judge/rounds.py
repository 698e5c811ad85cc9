"""A slow judge of rounds, from the phone's plan and a list of answers alone: may this be signed? It imports nothing of the program.

Yes, no, or open. Open is what the contract leaves to physics or to words: a needle that moved with the thermometer, a fail in words that only
triage can weigh, a number between two marks. Everything is asked of the whole list anew after each answer; that is slow, and hard to get wrong.
"""

import math
import re
import unicodedata
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

Given = dict[str, Any]
PASCAL = {"bar": 1e5, "psi": 6894.757293168, "kPa": 1e3, "MPa": 1e6}
HOLDING = re.compile(r"squeal|whistl|hot|soot|flash|screech")
FLAME_WAS_HERE = re.compile(r"soot|tripped|hot")  # of an arrestor, in the words of its own look
LONGEST = timedelta(hours=12)


class Untaken(Exception):
    """An answer that can't be taken: the list is not signed."""


@dataclass
class Now:
    """What counts after some answers. `owed`: the place from which it must be gone round again, or further up."""

    plan: Given
    counts: dict[str, Given] = field(default_factory=dict)
    owed: int | None = None
    held: bool = False
    last: datetime | None = None
    first: datetime | None = None
    doubts: list[str] = field(default_factory=list)

    def place(self, step: str) -> int:
        return next((at for at, each in enumerate(self.plan["steps"]) if each["id"] == step), -1)

    def asked(self) -> list[Given]:
        """The steps that come to be asked, by what was answered."""
        only = [(each, each.get("only")) for each in self.plan["steps"]]
        return [each for each, when in only if not when or self.counts.get(when[0], {}).get("value") == when[1]]

    def coming(self) -> Given | None:
        return next((each for each in self.asked() if each["id"] not in self.counts), None)


def judged(plan: Given, answers: list[Given]) -> tuple[str, str]:
    """(yes, no or open; why). `plan`: what the phone is given; `answers`: as an answers file has them."""
    if plan["cardStops"]:
        return "no", "the card has a stop"
    now = Now(plan)
    for number, answer in enumerate(answers, 1):
        try:
            _take(now, answer)
        except Untaken as why:
            return ("open" if now.doubts else "no"), f"answer {number}, {answer['step']}: {why}"
    return _ruling(now)


def _ruling(now: Now) -> tuple[str, str]:
    why = _against(now)
    if why:
        return ("open" if now.doubts else "no"), why
    return ("open", now.doubts[0]) if now.doubts else ("yes", "all in order")


def _against(now: Now) -> str:
    """The first thing against a signature, of the whole list."""
    if now.coming():
        return f"{now.coming()['id']} is missing"  # type: ignore[index]
    return _standing(now) or _times(now)


# --- one answer ------------------------------------------------------------------------------------------------


def _take(now: Now, answer: Given) -> None:
    at = datetime.fromisoformat(answer["at"])
    if now.last and at < now.last:
        raise Untaken("the clock went back")
    place = now.place(answer["step"])
    if place < 0:
        raise Untaken("no such step")
    step, counted = now.plan["steps"][place], answer["step"] in now.counts
    if answer.get("again"):
        if not counted:
            now.doubts.append("again from a step never answered")
        if place == 0:
            raise Untaken("again from step 1 is a new round")
        _void(now, place)
        if now.owed is not None and place <= now.owed:
            now.owed = None
        _put(now, step, answer, at)
    elif counted:
        now.counts.pop("sign", None) if answer["step"] != "sign" else None
        _correct(now, step, answer, at)
    else:
        coming = now.coming()
        if coming is None or coming["id"] != answer["step"]:
            raise Untaken("not what comes next")
        standing = _standing(now)
        if standing and (now.held or _groups(now) - {step["group"]}):
            raise Untaken(f"a stop stands: {standing}")
        _put(now, step, answer, at)
    now.last, now.first = at, now.first or at


def _void(now: Now, place: int) -> None:
    for each in now.plan["steps"][place:]:
        now.counts.pop(each["id"], None)


def _put(now: Now, step: Given, answer: Given, at: datetime) -> None:
    value = _value(now, step, answer["value"])
    kept = {"value": value, "at": at, "since": _begun(now, step, answer, at, value), "before": now.last}
    now.counts[step["id"]] = kept
    _failed(now, step, answer["value"])


def _correct(now: Now, step: Given, answer: Given, at: datetime) -> None:
    """It keeps the time of what it replaces; a wait that failed was not waited."""
    old = now.counts[step["id"]]
    value = _value(now, step, answer["value"])
    if step["kind"] == "wait" and old["value"] != "done" and value == "done" and now.owed is None:
        raise Untaken("a wait is not waited afterwards")
    if step.get("reading") == "time of day":
        old = {**old, "at": at}
    now.counts[step["id"]] = {**old, "value": value}
    _failed(now, step, answer["value"])


def _begun(now: Now, step: Given, answer: Given, at: datetime, value: Any) -> datetime | None:
    """When a wait began; untaken where it is not over."""
    said = answer.get("since") if step["kind"] == "wait" else None  # no other step is begun
    since = datetime.fromisoformat(said) if said else now.last
    if said and since and since > at:
        raise Untaken("begun after it was over")
    if value != "done" or now.last is None or since is None or step["kind"] != "wait":
        return since
    if since < now.last:
        if at - now.last < timedelta(seconds=step["seconds"]):
            raise Untaken("the wait began before what comes before it")
        now.doubts.append("a wait said to begin before the answer before it")
    if at - max(since, now.last) < timedelta(seconds=step["seconds"]):
        raise Untaken(f"it takes {step['seconds']} s")
    return since


def _failed(now: Now, step: Given, value: Any) -> None:
    """What a fail, or the option that stops, owes."""
    stops = {option for option, stop in step.get("options", []) if stop}
    fails = (step["kind"] in ("tick", "wait") and str(value).startswith("fail")) or value in stops
    if not fails:
        return
    if step["again"] != step["id"]:
        now.owed = min(now.place(step["again"]), now.place(step["id"]) if now.owed is None else now.owed)
    words = str(value).removeprefix("fail").lstrip(": ").lower()
    if step.get("purges") or step.get("lights") or step["id"] == "purge-ready":
        if HOLDING.search(words):
            now.held = True
        elif words not in now.plan["held"]["pop"]:
            now.doubts.append(f"only triage knows what {words!r} is")
    elif step["group"] == "inspect" and HOLDING.search(words):
        if "arrestor" in step["label"].lower() and FLAME_WAS_HERE.search(words):
            now.held = True
        else:
            now.doubts.append(f"only triage knows what {words!r} is at a look")


# --- a value --------------------------------------------------------------------------------------------------


def _value(now: Now, step: Given, value: Any) -> Any:
    """As it counts: words, "done", a clock, or a pressure in pascal. None: not read."""
    if not isinstance(value, str):
        now.doubts.append("a value that is no text")
        return value
    match step["kind"]:
        case "tick" | "wait":
            if value in ("done", "yes") or value.split(":")[0] == "fail":
                return "done" if value in ("done", "yes") else "fail"
            if value.strip().lower() in ("done", "fail"):
                now.doubts.append("done in other letters")
                return value.strip().lower()
            raise Untaken("neither done nor fail")
        case "choice":
            if value not in [option for option, _ in step["options"]]:
                raise Untaken("none of the choices")
            return value
        case "text":
            letters = sum(unicodedata.category(each).startswith("L") for each in value)
            if letters < step["letters"]:
                raise Untaken("no name")
            if len(value) > 300:
                raise Untaken("longer than any name")
            if len(value) > 60:
                now.doubts.append("a long name")
            return value
    return _reading(now, step, value)


def _reading(now: Now, step: Given, value: str) -> Any:
    if value in ("not read", "none"):
        if value == "none" and not step.get("optional"):
            raise Untaken("no reading")
        if value == "none":
            now.doubts.append("none, where it may be left out")
        return None
    if step["reading"] == "time of day":
        if not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", value):
            if re.fullmatch(r"\d{1,2}:\d{1,2}", value):
                now.doubts.append("a clock written short")
            raise Untaken("no time of day")
        return value
    found = re.fullmatch(r"(-?\d+(?:\.\d+)?) (\S+)", value)
    if not found:
        raise Untaken("no reading")
    number, unit = float(found[1]), found[2]
    if step["reading"] == "temperature":
        if unit != "°C" or not -60 <= number <= 60:
            raise Untaken("no temperature of a yard")
        if not -25 <= number <= 50:
            now.doubts.append("a temperature at the edge")
        return number
    if step["reading"] not in ("high", "low") or unit not in PASCAL or number < 0:
        raise Untaken("no pressure")
    if unit == "MPa":
        now.doubts.append("a unit that nobody asked for")
    return _marked(now, step["asked"], number * PASCAL[unit])


def _marked(now: Now, asked: Given, pascal: float) -> float:
    """On a mark or half a mark, where the marks are stated."""
    halves = pascal / asked["half"]
    off = abs(halves - round(halves))
    if off < 2e-3:
        return pascal
    if off < 0.05 or asked.get("assumed"):
        now.doubts.append("between two marks")
        return pascal
    raise Untaken("finer than the gauge's marks")


# --- what stands against it -------------------------------------------------------------------------------------


def _groups(now: Now) -> set[str]:
    """Where stops stand: steps of one group are answered together, and a stop among them does not hide the rest."""
    return {each["group"] for each in now.plan["steps"] if each["id"] in now.counts and _stop(now, each)}


def _standing(now: Now) -> str:
    """The first stop of what counts."""
    if now.held:
        return "what happened goes to triage, and nothing in the round clears it"
    if now.owed is not None:
        return f"it must be gone round again from {now.plan['steps'][now.owed]['id']}"
    return next((why for each in now.plan["steps"] if each["id"] in now.counts and (why := _stop(now, each))), "")


def _stop(now: Now, step: Given) -> str:
    """What is against one answer, beside those before it."""
    value = now.counts[step["id"]]["value"]
    if value == "fail" or value in {option for option, stop in step.get("options", []) if stop}:
        return f"{step['id']} failed"
    if step["kind"] != "reading":
        return ""
    if value is None:
        return "" if step.get("optional") else f"{step['id']} was not read"
    if step["reading"] not in ("high", "low"):
        return ""
    asked = step["asked"]
    size, shown = asked["size"], value / asked["size"]
    if "low" in asked and shown < asked["low"]:
        if math.isclose(shown, asked["low"], rel_tol=1e-6):
            now.doubts.append("on the limit itself: the plan rounds it to its safe side, decision 65 says below it")
            return ""
        return f"{step['id']} below {asked['low']}"
    if "high" in asked and shown > asked["high"]:
        return f"{step['id']} over {asked['high']}"
    if "cap" in asked and value > asked["cap"] * (1 + 1e-9):
        return f"{step['id']} over acetylene's cap"
    if "cap" in asked and value > asked["cap"] - 2.5 * asked["press"] * size:
        now.doubts.append("acetylene within the gauge's error of its cap")
    beside = now.counts.get(step.get("beside", ""), {}).get("value")
    if beside is not None and "least" in asked and value < beside - asked["least"] * size:
        return f"{step['id']} is lower than {step['beside']}"
    return _moved(now, step, value)


def _moved(now: Now, step: Given, value: float) -> str:
    """A needle of the test against its start. The gas law says what the thermometer does to it; all else that moves is a leak."""
    start = now.counts.get(step.get("from", ""), {}).get("value")
    if start is None:
        return ""
    if (
        step["reading"] == "high"
        and abs(value - start) > 0
        and re.search("propane|lpg|butane|propylene", " ".join(step["fails"]), re.IGNORECASE)
    ):
        now.doubts.append("a side that may hold liquid: decision 50 leaves it to fluid and bleed")
        return ""
    kelvin = _warmed(now)
    mark = step["asked"]["press"] * step["asked"]["size"]
    moved, by_heat = value - start, (start + 101_325) * (kelvin or 0.0) / 288.15
    if kelvin == 0.0 or kelvin is None:
        if abs(moved) < 1e-6 * mark:
            return ""
        if (
            step["reading"] == "high"
        ):  # a few millilitres behind it: many marks may be less than the policy rejects, and the plan has no volume
            now.doubts.append("a supply's needle that moved")
        elif abs(moved) < 1.5 * mark:
            now.doubts.append("a needle that moved by a mark, which rounding does too")
        else:
            return f"{step['id']} moved"
        return ""
    if abs(moved - by_heat) > 2.5 * mark + abs(by_heat):
        return f"{step['id']} moved"
    if abs(moved) > 1e-6 * mark or abs(by_heat) > 0.25 * mark:
        now.doubts.append("a needle and a thermometer")
    return ""


def _warmed(now: Now) -> float | None:
    ends = [now.counts.get(f"leak-{end}-temperature", {}).get("value") for end in ("start", "end")]
    return None if None in ends else ends[1] - ends[0]  # type: ignore[operator]


# --- its times ------------------------------------------------------------------------------------------------


def _times(now: Now) -> str:
    """The whole list's clock: twelve hours, breaks with gas let in, from purge to flame, the shift's end."""
    signed, first = now.counts["sign"]["at"], now.first
    assert first is not None
    assert now.last is not None
    if now.last - first > LONGEST:
        return "over twelve hours"
    if now.last.date() != first.date():
        now.doubts.append("over midnight")
    return _breaks(now) or _flame(now) or _shift(now, signed)


def _breaks(now: Now) -> str:
    most = timedelta(seconds=now.plan["reclose"])
    gas, before = False, None
    for each in now.asked():
        kept = now.counts[each["id"]]
        waited = timedelta(seconds=each.get("seconds") or 0)
        since_counted = kept["at"] - before if before else timedelta(0)
        since_any = kept["at"] - kept["before"] if kept["before"] else timedelta(0)
        if since_counted > most and each.get("gas"):
            if gas and since_any - waited > most and since_counted - waited > most:
                return f"a break before {each['id']}"
            now.doubts.append(f"a break before {each['id']}, or none")
        gas = gas or each["id"].startswith("open-")
        before = kept["at"]
    return ""


def _flame(now: Now) -> str:
    purges = [now.counts[each["id"]]["at"] for each in now.asked() if each.get("purges")]
    lights = [now.counts[each["id"]]["at"] for each in now.asked() if each.get("lights")]
    gone = timedelta(seconds=now.plan["purgeGone"])
    if not purges or not lights:
        return ""
    if lights[0] - purges[-1] > gone:
        return "lit too long after the purge"
    if lights[-1] - purges[0] > gone:
        now.doubts.append("a purge of one gas long before the flame")
    return ""


def _shift(now: Now, signed: datetime) -> str:
    step = next(each for each in now.asked() if each.get("reading") == "time of day")
    kept = now.counts[step["id"]]
    if kept["value"] is None:
        return "no end of the shift"
    hour, minute = map(int, kept["value"].split(":"))
    end = kept["at"].replace(hour=hour, minute=minute, second=0, microsecond=0)
    if end <= kept["at"]:
        end += timedelta(days=1)
    if end - kept["at"] > LONGEST:
        return "a shift longer than twelve hours"
    if math.isclose((end - kept["at"]).total_seconds(), LONGEST.total_seconds(), abs_tol=60):
        now.doubts.append("a shift of twelve hours")
    return "signed after the shift's end" if signed >= end else ""
