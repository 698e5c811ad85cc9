"""Long work that goes on while its person looks at other pages: how far it is, and what it came to. Kept in the process, a few at a time."""

import logging
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from steadycone.errors import Refused, SteadyconeError, StoreError, UnknownName
from steadycone.web.desk import Desk

log = logging.getLogger("steadycone.web")
MOST, MOST_AT_ONCE = 8, 3  # kept, finished ones too; at work
SOON = 0.4  # s: what is done by then shows its result without a page in between
_KEPT = "running"
Work = Callable[["Running"], Any]


@dataclass
class Running:
    """One piece of work. `says` is what it does now; `result` what it came to, `error` why it came to nothing.

    kept : what the next step of the same work needs, such as a list that was read
    """

    id: str
    kind: str
    person: str
    began: datetime
    says: str = ""
    done: int = 0
    of: int = 0
    result: Any = None
    error: SteadyconeError | None = None
    kept: dict[str, Any] = field(default_factory=dict)
    over: threading.Event = field(default_factory=threading.Event)

    @property
    def going(self) -> bool:
        return not self.over.is_set()

    def telling(self, says: str) -> Callable[[int, int], None]:
        """A function to be told how far this part of the work is."""

        def told(done: int, of: int) -> None:
            self.says, self.done, self.of = says, done, of

        told(0, 0)
        return told

    @property
    def line(self) -> str:
        """How far it is, for a person."""
        return f"{self.says}: {self.done:,} of {self.of:,}" if self.of else self.says


def start(desk: Desk, kind: str, work: Work) -> Running:
    """Begin a piece of work in a thread of its own.

    Raises  Refused: this person's last one still goes on, or the server has its hands full.
    """
    made = Running(secrets.token_hex(8), kind, desk.person, desk.now)
    with desk.yard.lock:
        kept = desk.yard.kept.setdefault(_KEPT, {})
        _check_room(kept, made)
        for old in list(kept.values()):
            if not old.going and (len(kept) >= MOST or (old.person == made.person and old.kind == kind)):
                del kept[old.id]
        kept[made.id] = made
    _begin(made, work)
    return made


def again(desk: Desk, found: Running, work: Work) -> None:
    """The next step of the same work.

    Raises  Refused: it goes on already.
    """
    with desk.yard.lock:
        if found.going:
            raise Refused("it goes on already", where="import", try_="Look how far it is.")
        _check_room({key: each for key, each in desk.yard.kept.get(_KEPT, {}).items() if each is not found}, found)
        found.over.clear()
        found.result = found.error = None
    _begin(found, work)


def _check_room(kept: dict[str, Running], made: Running) -> None:
    going = [each for each in kept.values() if each.going]
    if any(each.person == made.person and each.kind == made.kind for each in going):
        raise Refused("your last one is not done yet", where=made.kind, try_="Wait until it is, then start the next.")
    if len(going) >= MOST_AT_ONCE:
        raise Refused(f"{len(going)} long pieces of work go on already", where=made.kind, try_="Try again in a minute.")


def _begin(found: Running, work: Work) -> None:
    def run() -> None:
        try:
            found.result = work(found)
        except SteadyconeError as error:
            found.error = error
        except Exception:
            log.exception("fault in %s", found.kind)
            found.error = StoreError("a fault of the program", where=found.kind, try_="It stands in the server's log. Try once more.")
        finally:
            found.over.set()

    threading.Thread(target=run, name=f"steadycone-{found.kind}", daemon=True).start()
    found.over.wait(SOON)


def find(desk: Desk, kind: str) -> Running:
    """The work that the address names, if it is this person's.

    Raises  UnknownName: another's, or none (any more).
    """
    found: Running | None = desk.yard.kept.get(_KEPT, {}).get(desk.path["work"])
    if found is None or found.kind != kind or found.person != desk.person:
        raise UnknownName("this work is not kept any more", where=kind, try_="Start it again.")
    return found


def progress(desk: Desk, found: Running) -> dict[str, Any]:
    """What the script asks for, again and again."""
    return {"going": found.going, "line": found.line, "done": found.done, "of": found.of}
