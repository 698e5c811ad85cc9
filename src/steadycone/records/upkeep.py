"""What somebody does to the records themselves: make the register again, sign with another key. Each is an event, with who and why."""

from datetime import datetime
from typing import TYPE_CHECKING

from steadycone.errors import Refused
from steadycone.records import keys
from steadycone.records.envelope import Receipt
from steadycone.records.events import Rebuilt
from steadycone.records.names import checked

if TYPE_CHECKING:
    from steadycone.records.store import Site, Store

MOST = 20  # places that a rebuilding names
LONGEST = 400  # characters of a reason


def check_reason(author: str, why: str) -> None:
    """Raises  InputError: nobody answers for it, or no reason is given."""
    checked(author, "author")
    checked(why, "reason", most=LONGEST)


def put_right(site: "Site", author: str, why: str, at: datetime) -> Receipt:
    """See Site.put_right."""
    check_reason(author, why)
    wrong = site.stale()
    if not wrong:
        raise Refused("the register says what the events give", where="log rebuild", try_="Leave it as it is.")
    site.check_key()  # without it nothing is changed, since nothing could be recorded
    site.rebuild()
    return site.record_own(Rebuilt(why=why, differed=tuple(wrong[:MOST]), places=len(wrong)), author, at)


def change_key(store: "Store", author: str, why: str, at: datetime) -> list[Receipt]:
    """See Store.change_key."""
    store.check_writable()
    sites = [store.site(name) for name in store.sites()]
    key = keys.load_key(store.address.key)
    receipts: list[Receipt] = []
    if key is None and sites:
        receipts.append(sites.pop(0).change_key(author, why, at))
        key = keys.load_key(store.address.key)
    others = [site for site in sites if key is not None and site.head().key != keys.public_hex(key)]
    if key is None or not (receipts or others):
        raise Refused(
            "every log is signed with the key that is there", where=str(store.address.key), try_="Move its file away, and run this again."
        )
    return receipts + [site.sign_with(key, author, why, at) for site in others]
