"""A person asked for again: name and password, beside whoever is signed in on this device."""

from typing import TYPE_CHECKING

from steadycone.errors import InputError
from steadycone.web.pages.account import person_of

if TYPE_CHECKING:
    from steadycone.web.desk import Desk


def asked_again(desk: "Desk") -> str:
    """Who fits the form's name and password, as the log has the name; who is signed in, where no name was typed.

    Raises  InputError: they don't fit together. Refused: the password is a starting one. throttle.TooMany.
    """
    account = person_of(desk, desk.field("name", "") or desk.person, desk.text("password", ""))
    if account is None:
        raise InputError(
            "name and password don’t fit together", where="password", try_="Type them again. After five wrong tries a name waits."
        )
    return account.person
