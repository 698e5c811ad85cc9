"""A round's end: signed by a person asked for again, or closed with its stop. Recorded once, with the answers' own times."""

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from steadycone.errors import InputError, Refused
from steadycone.procedures.rounds import Round, sign_off
from steadycone.procedures.rounds.sign import state
from steadycone.records.names import key
from steadycone.records.times import AHEAD
from steadycone.render.json_card import card_bytes
from steadycone.web.desk import roles_of
from steadycone.web.guard.rights import rights, roles_with
from steadycone.web.pages.account import person_of
from steadycone.web.rounds.deliver import Standing

if TYPE_CHECKING:
    from steadycone.records.drafts import Draft
    from steadycone.web.desk import Desk
    from steadycone.web.rounds.made import MadeRound


class ClockAhead(InputError):
    """The device's clock runs ahead: nothing is wrong with the round, and it is recorded when the yard's clock has come that far."""

    code = "clock-ahead"


def check_signer(desk: "Desk", by: str, password: str) -> str:
    """Who signs, asked for again: the name as the log has it.

    Raises  InputError: name and password don't fit. Refused: no right to sign, or a starting password.
    """
    account = person_of(desk, by, password)
    if account is None:
        raise InputError("name and password don’t fit together", where="sign", try_="Type them again. After five wrong tries a name waits.")
    if "sign" not in rights(roles_of(desk.site, account.person, desk.today)):
        raise Refused(
            f"{account.person} has no right to sign", where="sign", try_=f"Let somebody sign who is {' or '.join(roles_with('sign'))}."
        )
    return account.person


def finish(desk: "Desk", found: Standing, signer: str = "") -> Standing:
    """Record it, once. `signer`: who was asked for again and fits; empty closes a stopped round.

    Returns  the draft as it stands then; its problem says why the records refused the signature.
    Raises   InputError: it is not finished, is signed by another name, or is dated ahead of the yard's clock. StoreError.
    """
    now, made = found.round, found.made
    if now is None or made is None:
        raise InputError(found.problem or "it can't be read", where="round", try_="Begin a new round; the answers stay kept.")
    if found.draft.state == "recorded":
        return found
    _check(now, signer)
    if now.log[-1].at > desk.now + AHEAD:
        raise ClockAhead(
            f"its last answer is of {now.log[-1].at:%H:%M}, and the yard’s clock says {desk.now:%H:%M}",
            where="clock",
            try_="Set this device’s clock right. The round is kept, and recorded when the yard’s clock has come that far.",
        )
    return replace(found, draft=_record(desk, found, now, made))


def _check(now: Round, signer: str) -> None:
    signed = sign_off(now)
    if signer:
        if signed is None:
            raise InputError("it is not ready to be signed", where="round", try_="Answer every step, clear every stop.")
        if key(signed.by) != key(signer):
            raise InputError(f"the round names {signed.by[:60]}", where="sign", try_=f"{signer} signs in their own name.")
    elif state(now) != "stopped":
        raise InputError("no stop stands", where="round", try_="Go on with it.")


def _record(desk: "Desk", found: Standing, now: Round, made: "MadeRound") -> "Draft":
    from steadycone.records.round_record import record_happened, record_round

    told = made.report(now)
    answers = {"station": now.plan.station, "plan": now.plan.hash, "answers": found.draft.answers}
    papers = {
        "report": card_bytes(told),
        "card": card_bytes(made.card.told),
        "answers": json.dumps(answers, ensure_ascii=False).encode("utf-8", "replace"),
        **made.files.papers,
    }
    # a stopped round has no signature: who was signed in answers for it, whatever name was written
    named = told if told["sign_off"] else {**told, "who": found.draft.author}
    _, refused = record_round(named, desk.site, papers, id=found.draft.id)
    record_happened(now, desk.site, found.draft.author, found.draft.id)
    problem = f"{refused.where}: {refused.says}. {refused.try_}" if refused else ""
    return desk.site.drafts.mark(found.draft.id, "recorded", event=f"round-{found.draft.id}", problem=problem)
