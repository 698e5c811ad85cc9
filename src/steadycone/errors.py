"""Every error the program raises on purpose.

SteadyconeError              code, where, says, try_
  InputError (ValueError)    something a person gave is not usable
    BadUnit                  a value without its unit, or with one of another kind
    BadFile                  a file that cannot be read as what it should be
    UnknownName (KeyError)   a gas, worksheet, field or size that does not exist
    OutOfRange               a number outside what the formula or the table covers
    LooserThanLaw            a site policy that the region's law forbids
    RefusedVariant           a way of working that is known, and that no policy can choose
    Refused                  a record that a rule of safety speaks against, such as signing off a station that holds quarantined gear
      Overtaken              somebody else changed the same thing first
  StoreError (RuntimeError)  the records could not be read or written; nothing was half written
    StoreMissing             no store there, or none that this program made
    StoreTooNew              made by a newer program: left untouched
    StoreReadOnly            it may be read and not written
    StoreFull                no room left
    RecordLocked             another program holds it for too long
    StoreDown                the database server does not answer
    StoreBroken              damaged, or what it says contradicts itself
    WrongKey                 the key that signs is missing, or is not this log's
  SolveError (RuntimeError)  the numerics failed: a fault of ours, never of the station
"""

import difflib
from collections.abc import Iterable


class SteadyconeError(Exception):
    """What went wrong, where, and what to do about it.

    `says` is one sentence with the value and what is allowed; `try_` is one sentence on what to do.
    """

    code = "error"
    exit_code = 2

    def __init__(self, says: str, *, where: str = "", try_: str = "") -> None:
        self.says, self.where, self.try_ = _one_line(says), _one_line(where), _one_line(try_)
        super().__init__(self.says)

    def __str__(self) -> str:
        head = f"{self.where}: {self.says}" if self.where else self.says
        return f"{head}\n{self.try_}" if self.try_ else head

    def at(self, where: str) -> "SteadyconeError":
        """The same error with the outer place put before its own."""
        self.where = _one_line(f"{where}, {self.where}" if self.where else where)
        return self


def _one_line(text: str) -> str:
    """Messages quote what a file holds: no line breaks, and nothing that a terminal would obey."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


class InputError(SteadyconeError, ValueError):
    code = "bad-input"


class BadUnit(InputError):
    code = "bad-unit"


class BadFile(InputError):
    code = "bad-file"


class UnknownName(InputError, KeyError):
    code = "unknown-name"
    __str__ = SteadyconeError.__str__  # KeyError would quote the message


class OutOfRange(InputError):
    code = "out-of-range"


class LooserThanLaw(InputError):
    code = "policy-looser-than-law"


class RefusedVariant(InputError):
    code = "variant-refused"


class Refused(InputError):
    code = "refused"
    exit_code = 3  # as a stop of the card


class Overtaken(Refused):
    """by : who was first. when : the moment, as the log writes it. now : the hash of what stands there now"""

    code = "overtaken"

    def __init__(self, says: str, *, where: str = "", try_: str = "", by: str = "", when: str = "", now: str = "") -> None:
        super().__init__(says, where=where, try_=try_)
        self.by, self.when, self.now = by, when, now


class StoreError(SteadyconeError, RuntimeError):
    code = "store"
    exit_code = 74  # as sysexits has it for reading and writing


class StoreMissing(StoreError):
    code = "store-missing"


class StoreTooNew(StoreError):
    code = "store-too-new"


class StoreReadOnly(StoreError):
    code = "store-read-only"


class StoreFull(StoreError):
    code = "store-full"


class RecordLocked(StoreError):
    code = "store-locked"


class StoreDown(StoreError):
    code = "store-down"


class StoreBroken(StoreError):
    code = "store-broken"


class WrongKey(StoreError):
    code = "wrong-key"


class SolveError(SteadyconeError, RuntimeError):
    code = "not-converged"
    exit_code = 70


def nearest(name: str, known: Iterable[str]) -> str:
    """A hint such as `Did you mean "bore"?`, or the known names when none is near."""
    names = sorted(set(known))
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.6)
    if close:
        return f'Did you mean "{close[0]}"?'
    return "Known: " + ", ".join(names) + "."
