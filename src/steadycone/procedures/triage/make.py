"""The way through a triage, in order."""

from collections.abc import Sequence

from steadycone.data.reader import FOLDER, toml
from steadycone.errors import InputError, UnknownName, nearest
from steadycone.procedures.judged import Judged
from steadycone.procedures.triage.gate import back_to_service, confirmed, first_actions, never
from steadycone.procedures.triage.hear import hear
from steadycone.procedures.triage.model import NONE_FITS, UNCLEAR, Heard, Triage
from steadycone.procedures.triage.reasons import causes
from steadycone.procedures.triage.weigh import EVENTS, asks, certainty, fitting, unclear, unexplained

_RULES = ("triage-wording", "triage-danger-order", "triage-certainty", "triage-cause-order", "triage-union")


def triage(saw: Sequence[str] | str, card: Judged | None = None, region: str = "uk") -> Triage:
    """From what was heard and seen to event, first actions, causes and the gate back to service.

    saw     plain words, separated by commas or as a list: "whistle, hot handle". Words for an event ("flashback") decide nothing.
    card    the station's card, where there is one: ranks the causes, fills the numbers, and its policy chooses variants
    region  uk, eu, us, ca, au or nz

    Raises  InputError: nothing was said. UnknownName: no such region.
    """
    known = sorted(path.stem for path in (FOLDER / "regions").glob("*.toml"))
    if region not in known:
        raise UnknownName(f'no region "{region}"', where="region", try_=nearest(region, known))
    heard = hear(saw)
    if heard == Heard((), (), (), ()):
        raise InputError("nothing was said", where="saw", try_='Say what was heard, seen, felt or smelt, such as "whistle, hot handle".')
    fuel = str(card.figures.setup.station.station.fuel) if card else None
    fits = fitting(heard, fuel) or [UNCLEAR if unclear(heard) else NONE_FITS]
    event = fits[0]
    entry = toml(EVENTS)[event]
    return Triage(
        event=event,
        certainty=certainty(event, fits, heard),
        danger=entry["danger"],
        means=entry["means"],
        heard=heard,
        decided_by=tuple(sign for sign in heard.signs if sign in entry["deciding"]),
        supported_by=tuple(sign for sign in heard.signs if sign in entry["supporting"]),
        unexplained=unexplained(event, heard),
        also_fits=tuple(fits[1:]),
        confirmed=_confirmed(fits, heard),
        first_actions=first_actions(fits),
        causes=causes(event, heard, card, fuel),
        never=never(fits),
        back_to_service=back_to_service(fits, heard, card, region, fuel),
        asks=asks(event, heard, fuel),
        urgent=any(toml(EVENTS)[one].get("urgent", False) for one in fits),
        sources=(*entry["source"], *_RULES),
    )


def _confirmed(fits: list[str], heard: Heard) -> bool | None:
    """Of the worst event for which a flame in a hose is a question."""
    return next((sure for one in fits if (sure := confirmed(one, heard)) is not None), None)
