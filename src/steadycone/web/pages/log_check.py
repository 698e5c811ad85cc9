"""Whether the log is what was recorded: every event against the tree, the heads and the codes that people hold."""

from typing import TYPE_CHECKING

from starlette.responses import Response

from steadycone.errors import InputError
from steadycone.records.heads import parse_head, read_code
from steadycone.web.desk import Desk
from steadycone.web.page import get, post
from steadycone.web.pages import running
from steadycone.web.pages.filled import Filled, back, status_in_form

if TYPE_CHECKING:
    from steadycone.records.heads import SignedHead
    from steadycone.records.verify import Verified

KIND = "verify"
HERE = "/log/verify"
MOST = 200  # codes and heads at once
# docs/records.md has them at length.
CANNOT = (
    "That what was written was true. Somebody who ticked everything without looking leaves a sound log.",
    "Who sat at the keyboard. The name is the one that was signed in.",
    "When it was, better than this machine’s clock. Order is that of the numbers.",
    "Anything against whoever holds the signing key and the store: they can write another history and sign it. A code on paper, or a head kept elsewhere, shows it.",
    "That nothing was cut off at the end, without a head or a code from elsewhere.",
    "That everything was recorded. What nobody entered leaves no gap.",
)


def _ask(desk: Desk) -> Response:
    return _asking(desk, Filled(), 200)


def _asking(desk: Desk, filled: Filled, status: int) -> Response:
    return desk.page("log-verify.html.j2", "Verify the log", status=status, filled=filled, head=desk.site.head(), cannot=CANNOT)


def _start(desk: Desk) -> Response:
    try:
        heads, codes = held(desk.text("held", ""))
        site = desk.site
        work = running.start(desk, KIND, lambda found: site.verify(heads=heads, codes=codes, progress=found.telling("Events verified")))
    except InputError as error:
        return _asking(desk, back(desk, "verify", error), status_in_form(error))
    work.kept["held"] = len(heads) + len(codes)
    return desk.to(f"{HERE}/{work.id}")


def held(text: str) -> "tuple[tuple[SignedHead, ...], tuple[str, ...]]":
    """Heads and codes that a person holds, one a line: a line of JSON is a head, anything else a code.

    Raises  InputError: one that is neither.
    """
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) > MOST:
        raise InputError(f"{len(lines)} codes", where="codes", try_=f"{MOST} at most.")
    codes = tuple(line for line in lines if not line.startswith("{"))
    for code in codes:
        if len(code) > 60 or not code.isascii():
            raise InputError(f'"{code[:60]}" is not the code of a head', where="code", try_='It looks like "1234-K7QM-2RZD-0XHF-9WNB".')
        read_code(code)
    return tuple(parse_head(line) for line in lines if line.startswith("{")), codes


def _see(desk: Desk) -> Response:
    work = running.find(desk, KIND)
    here = f"{HERE}/{work.id}"
    if work.going:
        return desk.page("log-verify-going.html.j2", "Verify the log", work=work, here=here)
    if work.error is not None:
        raise work.error
    result: Verified = work.result
    return desk.page(
        "log-verified.html.j2",
        "The log, verified",
        result=result,
        cannot=CANNOT,
        held=work.kept.get("held", 0),
        when=work.began.strftime("%Y-%m-%d %H:%M"),
    )


def _progress(desk: Desk) -> Response:
    return desk.told(running.progress(desk, running.find(desk, KIND)))


PAGES = (
    get(HERE, _ask),
    post(HERE, _start, "read"),
    get(HERE + "/{work}", _see),
    get(HERE + "/{work}/progress.json", _progress),
)
