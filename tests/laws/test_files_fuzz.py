"""Whatever stands in a file, reading gives a valid result or one InputError: twenty thousand files spoilt at random."""

import io
import random
import zipfile
from collections.abc import Callable

import pytest
from tests.files_samples import ABOUT, CHART, CHART_COMMA, CHART_INCH, POLICY, STATION, ods, xlsx

from steadycone.errors import InputError
from steadycone.files.chart import chart_from_bytes
from steadycone.files.policy import policy_from_text
from steadycone.files.read import setup_from_text
from steadycone.files.text import decode
from steadycone.physics.gas import load
from steadycone.practice.chart import check_chart, choose, judged
from steadycone.station.chart import Chart

ACETYLENE = load("acetylene")
VALUES = [
    '"20 m"', '"20"', "20", "-1", "true", "nan", "inf", "1e400", "9" * 400, '"-3 bar"', '"1e999 bar"', '"1/0 in"', '""', '"\\u0000"', "[]", "{}", "[[]]",
    '["a", 1]', "{ a = 1 }", "2023-02-30", "2023-02-17", "07:32:00", "2023-02-17T07:32:00Z", '"2023-13"', "'''x\ny'''", '"ä°²"', '"1 1/4 in"', '"5 %"',
    '"0 mm"', '"1,5 bar"', "0x10", "0b1", "1_000", '"../../x.csv"', '"hose"', '"cut"', '"torch"', '[{ kind = "hose" }]',
]  # fmt: skip
TOKENS = [
    "=",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    '"',
    "'",
    ",",
    ".",
    "\n",
    "#",
    "kind",
    "oxygen",
    "part",
    "hose",
    " ",
    "\t",
    "\r",
    "\x7f",
    "é",
    "😀",
]
CELLS = ["", "-", "0", "-1", "1,5", "1.5", "1,200", "1.200", "1 200", "1/4", "1 1/4", "1-1/4", "1/0", "5-3", "3 to 5", "nan", "inf", "1e400", "9" * 50,
         "x", '"', "ä", "5 bar", "5 mm", "size", "#", "# fuel: x", "[bar]", "oxygen pressure [bar]", "9" * 90]  # fmt: skip


def spoil_lines(text: str, rng: random.Random) -> str:
    lines = text.split("\n")
    for _ in range(rng.choice((1, 1, 1, 2, 4))):
        at, other = rng.randrange(len(lines)), rng.randrange(len(lines))
        match rng.randrange(6):
            case 0:
                lines[at : at + 1] = []
            case 1:
                lines.insert(at, lines[other])
            case 2:
                lines[at], lines[other] = lines[other], lines[at]
            case 3:
                name, equals, _ = lines[at].partition("=")
                lines[at] = f"{name}{equals or '='} {rng.choice(VALUES)}"
            case 4:
                spot = rng.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:spot] + rng.choice(TOKENS) + lines[at][spot + rng.randrange(3) :]
            case _:
                lines[at] = lines[at].replace("=", rng.choice(TOKENS), 1)
        lines = lines or [""]
    return "\n".join(lines)


def spoil_cells(text: str, rng: random.Random) -> str:
    lines = text.split("\n")
    for _ in range(rng.choice((1, 1, 2, 3))):
        at = rng.randrange(len(lines))
        mark = next((mark for mark in ";\t," if mark in lines[at]), ",")
        cells = lines[at].split(mark)
        spot = rng.randrange(len(cells))
        match rng.randrange(5):
            case 0:
                cells[spot] = rng.choice(CELLS)
            case 1:
                del cells[spot]
            case 2:
                cells.insert(spot, rng.choice(CELLS))
            case 3:
                other = rng.randrange(len(cells))
                cells[spot], cells[other] = cells[other], cells[spot]
            case _:
                lines.insert(at, lines[rng.randrange(len(lines))])
                continue
        lines[at] = mark.join(cells)
    return "\n".join(lines)


def spoil_bytes(data: bytes, rng: random.Random) -> bytes:
    spoilt = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 8))):
        spot = rng.randrange(len(spoilt))
        spoilt[spot] = rng.choice((rng.randrange(256), spoilt[spot] ^ (1 << rng.randrange(8))))
    return bytes(spoilt[: rng.randrange(len(spoilt))] if rng.random() < 0.1 else spoilt)


def read_station(data: bytes) -> None:
    setup = setup_from_text(
        decode(data, "slip.toml", "station"), "slip.toml", lambda name, limit, what: (POLICY if what == "policy" else CHART).encode()
    )
    assert setup.lines["oxygen"].part
    assert 0 <= setup.policy.acetylene_cap.si <= 1.5e5 * (1 + 1e-9)


def read_policy(data: bytes) -> None:
    policy = policy_from_text(decode(data, "yard.toml", "policy"), "us", "yard.toml")
    assert policy.acetylene_cap.si <= 1.0343e5


def read_chart(name: str) -> Callable[[bytes], None]:
    def read(data: bytes) -> None:
        chart = chart_from_bytes(name, data)
        assert chart.rows
        _judge(chart)

    return read


def _judge(chart: Chart) -> None:
    suspects = check_chart(chart, ACETYLENE, 1.5e5)
    choice = choose(chart, _STATION, ACETYLENE)
    assert judged(suspects, choice, chart)


_STATION = setup_from_text(
    STATION.replace("size = 3\n", ""), "", lambda name, limit, what: (POLICY if what == "policy" else CHART).encode()
).station


def survives(read: Callable[[bytes], None], data: bytes) -> bool:
    """Whether the file was read; a refusal is one whole message."""
    error = refusal(read, data)
    if error is None:
        return True
    assert error.says
    assert error.try_
    assert "\n" not in error.says
    assert len(error.says) < 400
    return False


def refusal(read: Callable[[bytes], None], data: bytes) -> InputError | None:
    try:
        read(data)
    except InputError as error:
        return error
    return None


@pytest.mark.parametrize(
    ("text", "read", "rounds", "spoil"),
    [
        (STATION, read_station, 4000, spoil_lines),
        (POLICY, read_policy, 2000, spoil_lines),
        (CHART, read_chart("chart.csv"), 2500, spoil_cells),
        (CHART_COMMA.replace("propane", "acetylene"), read_chart("chart.csv"), 2000, spoil_cells),
        (CHART_INCH, read_chart("chart.tsv"), 2000, spoil_cells),
    ],
    ids=["station", "policy", "chart", "chart-comma", "chart-inch"],
)
def test_a_spoilt_text_is_read_or_refused(
    text: str, read: Callable[[bytes], None], rounds: int, spoil: Callable[[str, random.Random], str]
) -> None:
    rng = random.Random(20261125)  # the same files every time
    assert survives(read, text.encode())
    good = sum(survives(read, spoil(text, rng).encode("utf-8", "surrogatepass")) for _ in range(rounds))
    assert 0 < good < rounds  # some changes do no harm, and many do


@pytest.mark.parametrize(
    ("data", "read", "rounds"),
    [
        (STATION.encode(), read_station, 3500),
        (POLICY.encode(), read_policy, 1500),
        (CHART.encode(), read_chart("chart.csv"), 3000),
        (xlsx(about=ABOUT), read_chart("chart.xlsx"), 1000),
        (ods(about=ABOUT), read_chart("chart.ods"), 1000),
    ],
    ids=["station", "policy", "chart", "xlsx", "ods"],
)
def test_spoilt_bytes_are_read_or_refused(data: bytes, read: Callable[[bytes], None], rounds: int) -> None:
    rng = random.Random(20261125)
    assert survives(read, data)
    for _ in range(rounds):
        survives(read, spoil_bytes(data, rng))


@pytest.mark.parametrize(("data", "name"), [(xlsx(about=ABOUT), "chart.xlsx"), (ods(about=ABOUT), "chart.ods")])
def test_a_sheet_spoilt_inside_is_read_or_refused(data: bytes, name: str) -> None:
    rng = random.Random(20261125)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = {member.filename: archive.read(member) for member in archive.infolist()}
    inside = [member for member, content in members.items() if member.endswith((".xml", ".rels")) and content]
    for _ in range(750):
        member = rng.choice(inside)
        kept = io.BytesIO()
        with zipfile.ZipFile(kept, "w") as archive:
            for other, content in members.items():
                archive.writestr(other, spoil_bytes(content, rng) if other == member else content)
        survives(read_chart(name), kept.getvalue())
