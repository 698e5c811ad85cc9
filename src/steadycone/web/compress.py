"""Pages are sent compressed; a page that many ask for is kept as it was sent, so that it is made and compressed once."""

import gzip
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TYPE_CHECKING

from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.types import ASGIApp

if TYPE_CHECKING:
    from steadycone.web.desk import Desk

_LEVEL = 4  # a page of 300 rows in some 2 ms
_MOST = 64  # pages kept, of some 100 kB
_LEAST = 800


class Compressed(GZipMiddleware):
    """An answer that is compressed already passes as it is."""

    def __init__(self, app: ASGIApp) -> None:
        super().__init__(app, minimum_size=_LEAST, compresslevel=_LEVEL)


def kept_page(desk: "Desk", key: Hashable, make: Callable[[], Response]) -> Response:
    """The page that this person was sent before for the same key, else a new one. `key` holds everything that the page shows besides
    person, rights, theme and address; a page with a form token is never kept.
    """
    whole = (key, desk.url, desk.person, desk.rights, desk.theme, desk.gzip)
    with desk.yard.lock:
        pages: OrderedDict[Hashable, Response] = desk.yard.kept.setdefault("pages", OrderedDict())
        found = pages.get(whole)
        if found is not None:
            pages.move_to_end(whole)
            return _copy(found)
    made = make()
    if desk.gzip and made.status_code == 200:
        made = Response(
            gzip.compress(bytes(made.body), _LEVEL), 200, {"content-encoding": "gzip", "vary": "Accept-Encoding"}, made.media_type
        )
    with desk.yard.lock:
        pages[whole] = made
        while len(pages) > _MOST:
            pages.popitem(last=False)
    return _copy(made)


def _copy(response: Response) -> Response:
    """The same bytes under headers of their own: cookies are put on each answer."""
    copy = Response(response.body, response.status_code)
    copy.raw_headers = list(response.raw_headers)
    return copy
