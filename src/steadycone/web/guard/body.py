"""A request's body, counted while it comes in: nothing is parsed before it is known to be small enough."""

from starlette.requests import Request
from starlette.types import Message

from steadycone.errors import InputError

FORM = 200_000  # bytes: the largest form, a station's, is some 10 kB
UPLOAD = 6_000_000  # a chart or a gear sheet; the readers have lower limits of their own
FIELDS = 1500


class TooLarge(InputError):
    code = "body-too-large"


def limited(request: Request, most: int) -> Request:
    """The same request; reading more than `most` bytes of it raises TooLarge.

    Raises  TooLarge: it says itself that it is larger.
    """
    told = request.headers.get("content-length", "")
    if told.isdigit() and int(told) > most:
        raise _too_large(int(told), most)
    so_far = 0

    async def receive() -> Message:
        nonlocal so_far
        message = await request.receive()
        so_far += len(message.get("body", b""))
        if so_far > most:
            raise _too_large(so_far, most)
        return message

    return Request(request.scope, receive)


def _too_large(found: int, most: int) -> TooLarge:
    return TooLarge(f"{found:,} bytes were sent", where="upload", try_=f"{most:,} at most.")
