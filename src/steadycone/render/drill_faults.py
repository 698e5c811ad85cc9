"""Planted faults told: the instructor's sheet, the trainee's sheet and the marks, in the region's words."""

from collections.abc import Iterator, Mapping
from typing import Any

from steadycone.data import reader
from steadycone.procedures.rounds import PlanStep
from steadycone.quantity import Quantity
from steadycone.render.round_words import RoundWords
from steadycone.render.teaching import Row, Sheet
from steadycone.render.words import capital
from steadycone.whatif.drills.faults import TABLE, FaultDrill, FaultMark, FaultMarks, Planted, Spot, share

FORMAT = "steadycone-faults/1"


class _Told:
    """Fills the table's texts on one drill's station."""

    def __init__(self, drill: FaultDrill) -> None:
        self.drill, self.table, self.words = drill, reader.toml(TABLE), RoundWords(drill.plan)
        about = drill.plan.judged.figures.setup.station.station
        self.region, self.station = about.region, about.name

    def fill(self, text: str, blanks: Mapping[str, Quantity | str] | None = None) -> str:
        return capital(self.words.fill(text, {"station": self.station, **(blanks or {})}))

    def place(self, step: PlanStep) -> str:
        """A place in a few words: the thing that is looked at, or what the step does."""
        if step.looks:
            return capital(self.words.words.subject(step.subject))
        return self.words.do(step)

    def sheet(self, kind: str, intro: str, rows: Iterator[Row], **more: Any) -> Sheet:
        return Sheet(
            self.region,
            self.fill(self.table["title"]),
            self.table[kind],
            self.station,
            self.fill(intro, self._counted),
            tuple(rows),
            **more,
        )

    @property
    def _counted(self) -> dict[str, str]:
        return {"count": str(len(self.drill.planted))}


def trainee_sheet(drill: FaultDrill) -> Sheet:
    """Every place of the round at which something could be wrong, to be ticked; it does not tell which."""
    told = _Told(drill)
    return told.sheet("sheet", told.table["intro"], (_asked(told, spot) for spot in drill.spots), fields=("Name", "Date", "Points"))


def _asked(told: _Told, spot: Spot) -> Row:
    looks = " ".join(told.words.fill(look.look, look.numbers) for look in spot.step.looks)
    label = told.table["label"]
    return Row(
        str(spot.number), told.place(spot.step), lines=(("", looks),) if looks else (), boxes=(label["fit"], label["unfit"]), write=1
    )


def secret_sheet(drill: FaultDrill) -> Sheet:
    """For the instructor alone: what is set where, how, where it shows and why it matters."""
    told = _Told(drill)
    keys = dict.fromkeys([*(key for each in drill.planted for key in each.table["source"]), *told.table["source"]])
    return told.sheet(
        "secret", told.table["intro_secret"], (_set(told, each) for each in drill.planted), fields=("Instructor", "Trainee", "Date"),
        foot=(told.fill(told.table["after"]),), sources=tuple(keys),
    )  # fmt: skip


def _set(told: _Told, planted: Planted) -> Row:
    label, one, step = told.table["label"], planted.table, planted.spot.step
    lines = [(label["wrong"], told.fill(one["says"])), (label["plant"], told.fill(one["plant"]))]
    lines += [(label["tell"], told.fill(one["tell"]))] if "tell" in one else []
    lines += [(label["shows"], f"step {told.words.number(step)}, {step.id}")]
    lines += [(label["card"], one["finding"])] if "finding" in one else []
    lines += [(label["why"], f"{told.fill(one['why'])} [{', '.join(one['source'])}]")]
    return Row(str(planted.spot.number), told.place(step), "CAN KILL" if planted.kills else "", tuple(lines), (label["taken"],))


def marks_sheet(marks: FaultMarks, name: str = "") -> Sheet:
    """What was found and what was missed, and why it mattered."""
    told = _Told(marks.drill)
    keys = dict.fromkeys([*(key for mark in marks.marks for key in mark.planted.table["source"]), *told.table["source"]])
    rows = iter([*(_marked(told, mark) for mark in marks.marks), *(_false(told, spot, said) for spot, said in marks.false)])
    passed = told.table["told"]["passed" if marks.passed else "failed"]
    return told.sheet("marked", name or told.station, rows, result=f"{passed}. {' '.join(_reasons(told, marks))}", sources=tuple(keys))


def _reasons(told: _Told, marks: FaultMarks) -> Iterator[str]:
    words = told.table["told"]
    numbers = told.words.words.numbers
    needed = numbers.text(100.0 * share("pass_share"), 0) + "\u00a0%"
    points = numbers.text(marks.points, 0 if marks.points == int(marks.points) else 1)
    yield words["points"].format(points=points, of=marks.of, share=needed)
    if marks.unnamed:
        yield words["life"].format(names=", ".join(f"place {mark.planted.spot.number}" for mark in marks.unnamed))
    else:
        yield words["enough"]
    if marks.too_many_false:
        yield words["too_many"].format(false=len(marks.false), sound=marks.sound)


def _marked(told: _Told, mark: FaultMark) -> Row:
    one, label = mark.planted.table, told.table["label"]
    lines = [(label["wrong"], told.fill(one["says"]))]
    lines += [("Written", mark.said)] if mark.said else []
    lines += [("", told.table["told"][mark.state])] if mark.state in told.table["told"] else []
    if mark.state != "found":
        lines.append((label["why"], f"{told.fill(one['why'])} [{', '.join(one['source'])}]"))
    return Row(str(mark.planted.spot.number), told.place(mark.planted.spot.step), told.table["state"][mark.state], tuple(lines))


def _false(told: _Told, spot: Spot, said: str) -> Row:
    return Row(str(spot.number), told.place(spot.step), "NOTHING SET", (("Written", said), ("", told.table["told"]["false"])))


def faults_dict(drill: FaultDrill, secret: bool) -> dict[str, Any]:
    """A drill as JSON; `planted` only where the instructor asks for it."""
    told = _Told(drill)
    found: dict[str, Any] = {
        "format": FORMAT,
        "seed": drill.seed,
        "station": told.station,
        "plan": drill.plan.hash,
        "spots": [{"number": spot.number, "step": spot.step.id, "says": told.place(spot.step)} for spot in drill.spots],
    }
    if secret:
        found["planted"] = [_planted(told, each) for each in drill.planted]
    return found


def _planted(told: _Told, each: Planted) -> dict[str, Any]:
    one = each.table
    return {
        "fault": each.fault, "place": each.spot.number, "step": each.spot.step.id, "says": told.fill(one["says"]), "kills": each.kills,
        "plant": told.fill(one["plant"]), "tell": told.fill(one.get("tell", "")), "finding": one.get("finding"), "why": told.fill(one["why"]),
        "source": list(one["source"]),
    }  # fmt: skip


def fault_marks_dict(marks: FaultMarks) -> dict[str, Any]:
    """Marks as JSON."""
    told = _Told(marks.drill)
    return {
        "format": FORMAT,
        "seed": marks.drill.seed,
        "station": told.station,
        "points": marks.points,
        "of": marks.of,
        "passed": marks.passed,
        "reasons": list(_reasons(told, marks)),
        "marks": [_planted(told, mark.planted) | {"state": mark.state, "points": mark.points, "said": mark.said} for mark in marks.marks],
        "false": [{"place": spot.number, "step": spot.step.id, "said": said} for spot, said in marks.false],
    }
