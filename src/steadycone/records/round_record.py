"""A round's report into the log: the round with its papers, and the sign-off where it was signed."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from steadycone.errors import InputError, Refused, UnknownName
from steadycone.procedures.rounds import Round, happened
from steadycone.records import events
from steadycone.records.envelope import New, Receipt, Recorded, checked_id
from steadycone.records.names import key

if TYPE_CHECKING:
    from steadycone.records.store import Site


LONGEST_ID = 55  # characters: "sign-off-" goes before it


def record_round(
    report: Mapping[str, Any], site: "Site", papers: Mapping[str, bytes], *, id: str | None = None
) -> tuple[tuple[Receipt, ...], Refused | None]:
    """Record a round that was signed or stopped. The same round again writes nothing new.

    Parameters
    ----------
    report : "steadycone-round/1", as render/round_json.py gives it
    papers : kept with it, such as {"report": bytes, "station": bytes}; a station whose file is kept is signed off only on a round that
        holds "station", "policy" and "chart" as they are filed then
    id : the round's own, given where it was begun: the same round is the same whichever program reports it. Left out, the report's hash

    Returns
    -------
    Receipts, and why the sign-off was refused where the round alone went in: what was found is evidence and is kept in any case.

    Raises  InputError: the round is not finished, nobody is named in it, or the id is another round's. StoreError.
    """
    round_, sign = round_events(report, papers, id=id)
    if known := _known(site, round_.id):
        return _again(site, known, round_, sign)
    if sign is None:
        return site.append(round_), None
    try:
        return site.append(round_, sign), None
    except Refused as refused:
        return site.append(replace(round_, body=replace(round_.body, state="unsigned"))), refused
    except InputError:
        if known := _known(site, round_.id):  # delivered twice at once, and the other was first
            return _again(site, known, round_, sign)
        raise


def record_happened(now: Round, site: "Site", author: str, own: str) -> tuple[Receipt, ...]:
    """What happened in a round, as incidents: each holds the station by its gate. The same round again writes nothing new.

    own : the round's id, as its event has it

    Raises  StoreError.
    """
    from steadycone.records.incident_record import incident_event

    about = now.plan.judged.figures.setup.station.station
    news = []
    for number, each in enumerate(happened(now), 1):
        body, documents = incident_event(each.triage, about.name, f"{each.step.phase}: {each.said}"[:1000], about.region)
        at = next(answer.at for answer in now.log if answer.step == each.step.id and str(answer.value).startswith("fail"))
        news.append(New(body, author, at, id=f"happened-{number}-{own}"[:64], documents=documents))
    return site.append(*news) if news else ()


def _known(site: "Site", id_: str) -> Recorded | None:
    try:
        return site.event(id_)
    except UnknownName:
        return None


def _again(site: "Site", known: Recorded, round_: New, sign: New | None) -> tuple[tuple[Receipt, ...], Refused | None]:
    """A round that is recorded. Its sign-off went in with it, or was refused then; it is not tried again behind anybody's back."""
    assert isinstance(round_.body, events.RoundDone)
    if not isinstance(known.body, events.RoundDone) or key(known.body.station) != key(round_.body.station):
        raise InputError("this id is of another round", where=f"id {round_.id}", try_="Give each round its own.")
    receipts = site.append(round_)
    if sign is None:
        return receipts, None
    if _known(site, sign.id):
        return (*receipts, *site.append(sign)), None
    (why,) = site.preview([sign])
    if isinstance(why, Refused):
        return receipts, why
    return receipts, Refused("the sign-off was refused when this round was recorded", where=round_.body.station, try_="Go round again.")


def round_events(report: Mapping[str, Any], papers: Mapping[str, bytes], *, id: str | None = None) -> tuple[New, New | None]:
    """The events of a report. Their ids come from the round's own or from the report's hash, so that nothing is recorded twice.

    Raises  InputError.
    """
    if id is not None and len(checked_id(id)) > LONGEST_ID:
        raise InputError(f"an id of {len(id)} characters", where="id", try_=f"{LONGEST_ID} at most.")
    own = report["hash"][:40] if id is None else id
    sign, state = report.get("sign_off"), report["state"]
    author = sign["by"] if sign else report.get("who")
    if state == "open" or not report.get("ended"):
        raise InputError(
            "the round is not finished", where="record", try_="Go on with it; what was answered so far is kept beside the station file."
        )
    if not author:
        raise InputError("nobody is named in this round", where="record", try_="Answer its first question: who goes round.")
    station, name = report["station"]["name"], f"round-{own}"
    done = events.RoundDone(
        station=station, state=state, verdict=report["verdict"], card=report["card"]["hash"], plan=report["plan"]["hash"]
    )
    round_ = New(done, author, datetime.fromisoformat(report["ended"]), id=name, documents=dict(papers))
    if not sign:
        return round_, None
    signed = events.SignOff(
        station=station,
        round=name,
        valid_until=sign["valid_until"],
        longest_break=round(float(sign["longest_break"]["value"]) * 60),  # the report has minutes
    )
    return round_, New(signed, author, datetime.fromisoformat(sign["at"]), id=f"sign-off-{own}")
