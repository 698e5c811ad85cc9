"""The three boxes of times: leak test, purge, how long the gas lasts."""

from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.quantity import Quantity, exact
from steadycone.render.model import Box
from steadycone.render.view_panels import gas_word, in_order, side
from steadycone.render.words import Words, capital


def boxes(card: Card, words: Words) -> tuple[Box, ...]:
    return _leak(card, words), _purge(card, words), _lasts(card, words)


def _leak(card: Card, words: Words) -> Box:
    """The watch, and what it shows: a floor where the policy's wait is enough, else the leak that takes longer."""
    said, figures = reader.toml("card.toml")["box"], card.figures
    test = figures.leak_test
    number, unit = words.numbers.duration(test.watch.value or 0.0, "up")
    floors = [side.floor for each in test.lines.values() for side in (each.low, each.high) if side.state in ("ok", "low")]
    worst = max((floor.high for floor in floors if floor.high is not None), default=None)
    if worst is None or any(floor.high is None for floor in floors):
        note = said["leak_unseen"]
    elif worst <= (test.reject.value or 0.0) * (1 + 1e-9) and (test.watch.value or 0.0) > figures.setup.policy.leak.wait.si * 1.0001:
        note = said["leak_longer"].format(reject=words.numbers.show(test.reject))
    else:
        note = said["leak_note"].format(floor=words.numbers.show(exact(worst, "leak")))
    return Box(said["leak"], ((None, number, unit),), note)


def _purge(card: Card, words: Words) -> Box:
    said, figures = reader.toml("card.toml")["box"], card.figures
    names = in_order(figures)
    if card.verdict == "stop":
        return Box(said["purge"], tuple((side(name), "—", "") for name in names), said["purge_stop"])
    return Box(
        said["purge"],
        tuple((side(name), *_seconds(figures.lines[name].proving.purge_seconds, words)) for name in names),
        said["purge_note"],
    )


def _seconds(time: Quantity, words: Words) -> tuple[str, str]:
    """A purge time, rounded up: too short leaves a mixture in the hose."""
    return ("?", "") if time.value is None else (words.numbers.bare(time.value, "seconds", "up"), "s")


def _lasts(card: Card, words: Words) -> Box:
    """How long the cylinders last, the first to end; nothing is known while one of them is not."""
    said, figures = reader.toml("card.toml")["box"], card.figures
    job = figures.job.time
    after = ""
    if job is not None and job.value is not None:
        after = said["job"].format(time=" ".join(words.numbers.duration(job.value, "up")))
    lasting = {name: line.supply.duration.value for name, line in figures.lines.items() if line.line.supply.has_cylinders}
    if not lasting:
        return Box(said["lasts"], ((None, "—", after),), said["lasts_piped"])
    first = min(lasting, key=lambda name: lasting[name] if lasting[name] is not None else -1.0)  # type: ignore[arg-type,return-value]
    gas, least = capital(gas_word(figures, first, words)), lasting[first]
    if least is None:
        return Box(said["lasts"], ((None, "?", after),), said["lasts_unknown"].format(gas=gas))
    number, unit = words.numbers.duration(least, "down")
    key = "lasts_assumed" if figures.lines[first].supply.by == "full" else "lasts_first"
    return Box(said["lasts"], ((None, number, f"{unit} · {after}" if after else unit),), said[key].format(gas=gas))
