"""A round's report into the log: the round with its papers, and the sign-off where it was signed."""

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from steadycone.errors import InputError, Refused
from steadycone.records import events
from steadycone.records.envelope import New, Receipt

if TYPE_CHECKING:
    from steadycone.records.store import Site


def record_round(report: Mapping[str, Any], site: "Site", papers: Mapping[str, bytes]) -> tuple[tuple[Receipt, ...], Refused | None]:
    """Record a round that was signed or stopped. The same report again writes nothing new.

    Parameters
    ----------
    report : "steadycone-round/1", as render/round_json.py gives it
    papers : kept with it, such as {"report": bytes, "station": bytes}

    Returns
    -------
    Receipts, and why the sign-off was refused where the round alone went in: what was found is evidence and is kept in any case.

    Raises  InputError: the round is not finished, or nobody is named in it. StoreError.
    """
    round_, sign = round_events(report, papers)
    if sign is None:
        return site.append(round_), None
    try:
        return site.append(round_, sign), None
    except Refused as refused:
        return site.append(round_), refused


def round_events(report: Mapping[str, Any], papers: Mapping[str, bytes]) -> tuple[New, New | None]:
    """The events of a report. Their ids come from its hash, so that nothing is recorded twice.

    Raises  InputError.
    """
    sign, state = report.get("sign_off"), report["state"]
    author = sign["by"] if sign else report.get("who")
    if state == "open" or not report.get("ended"):
        raise InputError(
            "the round is not finished", where="record", try_="Go on with it; what was answered so far is kept beside the station file."
        )
    if not author:
        raise InputError("nobody is named in this round", where="record", try_="Answer its first question: who goes round.")
    station, name = report["station"]["name"], f"round-{report['hash'][:40]}"
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
    return round_, New(signed, author, datetime.fromisoformat(sign["at"]), id=f"sign-off-{report['hash'][:40]}")
