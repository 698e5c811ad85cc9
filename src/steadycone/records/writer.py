"""One thread a process that writes a site's log. What many callers hand in at the same time goes in with one commit."""

import threading
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import SQLAlchemyError

from steadycone.errors import RecordLocked, StoreDown, StoreError
from steadycone.records.access import crossed, keep_statistics
from steadycone.records.commit import Batch, Request
from steadycone.records.engine import WAIT, writing
from steadycone.records.failures import told_plainly
from steadycone.records.heads import SignedHead
from steadycone.records.turn import Turn

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

LINGER = 0.002  # s at most that a turn waits for as much company as the last one had; a single caller never waits
MOST = 1000  # events in one commit: some tens of milliseconds in which others wait
Clock = Callable[[], datetime]


class Ticket:
    """Requests that one caller waits for. `state`: waiting, taken, done."""

    def __init__(self, requests: Sequence[Request], *, dry: bool = False, signer: "Ed25519PrivateKey | None" = None) -> None:
        self.requests, self.dry, self.signer = list(requests), dry, signer
        self.state = "waiting"
        self.failure: BaseException | None = None
        self.done = threading.Event()

    @property
    def size(self) -> int:
        return sum(len(request.news) for request in self.requests)

    @property
    def alone(self) -> bool:
        return self.dry or self.signer is not None or any(request.alone for request in self.requests)


class Writer:
    """Takes tickets in turn, as many at once as fit, and commits them together."""

    def __init__(
        self,
        engine: Engine,
        turn: Turn,
        site: int,
        signer: "Ed25519PrivateKey",
        clock: Clock,
        after: Callable[[SignedHead], None],
        where: str,
    ) -> None:
        self._engine, self._turn, self._site, self._signer, self._clock = engine, turn, site, signer, clock
        self._after, self._where = after, where
        self._queue: deque[Ticket] = deque()
        self._ready = threading.Condition()
        self._thread: threading.Thread | None = None
        self._closed = False
        self._company = 1  # callers at work: those of the last commit, and those who came meanwhile
        self._grown = False  # enough to count the tables again
        self._connection: Connection | None = None

    def write(self, ticket: Ticket) -> None:
        """Hand in a ticket and wait until it is done.

        Raises  StoreError: nothing of it was written.
        """
        with self._ready:
            if self._thread is None:
                self._thread = threading.Thread(target=self._work, name=f"records-{self._site}", daemon=True)
                self._thread.start()
            self._queue.append(ticket)
            self._ready.notify()
        if not ticket.done.wait(WAIT):
            self._give_up(ticket)
        if ticket.failure is not None:
            raise ticket.failure

    def _give_up(self, ticket: Ticket) -> None:
        """Another process has had the turn for too long. A ticket that was taken already is waited for: its outcome is near."""
        with self._ready:
            if ticket.state == "waiting":
                if ticket in self._queue:
                    self._queue.remove(ticket)
                ticket.failure = RecordLocked(
                    f"another program has been writing for {WAIT:g} s",
                    where=self._where,
                    try_="Close it, then do it again. Nothing was half written.",
                )
                return
        ticket.done.wait()

    def close(self) -> None:
        """Finish what was handed in."""
        with self._ready:
            self._closed = True
            self._ready.notify()
        if self._thread is not None:
            self._thread.join()

    def _work(self) -> None:
        while True:
            with self._ready:
                while not self._queue and not self._closed:
                    self._ready.wait()
                if not self._queue:
                    break
                # Callers of the last commit are just coming back: with them in it, the next one costs each of them less.
                self._ready.wait_for(lambda: len(self._queue) >= self._company, LINGER)
            self._one_turn()
        self._let_go()

    def _one_turn(self) -> None:
        tickets: list[Ticket] = []
        try:
            with self._turn.taken():
                tickets = self._take()
                self._serve(tickets)
        except StoreError as error:  # no turn was had: the lock file can't be made
            self._answer(tickets or self._take(), error)
        if self._grown:
            self._count()

    def _serve(self, tickets: list[Ticket]) -> None:
        """Commit and answer. A fault of ours in one ticket must not be the others' fault: then each is tried for itself."""
        if not tickets:
            return
        try:
            self._try(tickets)
        except BaseException as error:  # noqa: BLE001 - handed to the callers, each of whom raises it
            self._let_go()
            if isinstance(error, StoreError) or len(tickets) == 1:
                self._answer(tickets, error)
            else:
                for ticket in tickets:
                    self._serve([ticket])
            return
        self._company = min(len(tickets) + len(self._queue), MOST)
        self._answer(tickets, None)

    def _answer(self, tickets: list[Ticket], failure: BaseException | None) -> None:
        for ticket in tickets:
            ticket.failure = failure
            ticket.state = "done"
            ticket.done.set()

    def _try(self, tickets: list[Ticket]) -> None:
        fresh = self._connection is None
        try:
            with told_plainly(self._where):
                self._commit(self._connected(), tickets)
        except StoreDown:
            if fresh:
                raise
            self._let_go()  # the server was started again meanwhile; what did go in is known by its id
            with told_plainly(self._where):
                self._commit(self._connected(), tickets)

    def _count(self) -> None:
        """Only for speed, after everybody has their answer: if it fails, the next commit tells what is wrong."""
        self._grown = False
        try:
            with told_plainly(self._where):
                keep_statistics(self._connected())
        except StoreError:
            self._let_go()

    def _connected(self) -> Connection:
        """One connection for all of this thread's life, unless something goes wrong with it."""
        if self._connection is None:
            self._connection = writing(self._engine.connect())
        return self._connection

    def _let_go(self) -> None:
        """After a failure the connection is not trusted again."""
        connection, self._connection = self._connection, None
        if connection is not None:
            with suppress(SQLAlchemyError):  # the failure itself is what the callers are told
                connection.invalidate()
                connection.close()

    def _take(self) -> list[Ticket]:
        """As many tickets as go into one commit."""
        taken: list[Ticket] = []
        size = 0
        with self._ready:
            while self._queue and not (taken and (self._queue[0].alone or taken[0].alone or size + self._queue[0].size > MOST)):
                ticket = self._queue.popleft()
                ticket.state = "taken"
                taken.append(ticket)
                size += ticket.size
        return taken

    def _commit(self, connection: Connection, tickets: list[Ticket]) -> None:
        signer = tickets[0].signer or self._signer
        with connection.begin() as transaction:
            requests = [request for ticket in tickets for request in ticket.requests]
            batch = Batch(connection, self._site, signer, self._clock(), requests)
            head = batch.run()
            if head is None or tickets[0].dry:
                transaction.rollback()
                return
        self._signer = signer
        self._after(head)
        self._grown = self._grown or crossed(head.size - batch.count, head.size)


__all__ = ["MOST", "Clock", "Ticket", "Writer"]
