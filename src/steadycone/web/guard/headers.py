"""Headers of every answer, and hosts that are not ours. Source: OWASP secure headers project; docs/security.md."""

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from steadycone.web.settings import Settings

# No 'unsafe-inline' anywhere: no style or script stands in a page; drawings are SVG markup that takes its looks from the sheet.
POLICY = "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; img-src 'self'"
FIXED = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",  # with no-referrer, browsers hide a form's origin too, and it is checked
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}
_HSTS = "max-age=31536000"


class Guarded:
    """Adds the fixed headers, refuses foreign hosts, and keeps personal pages out of caches that others share."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app, self.settings = app, settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if _host(Headers(scope=scope).get("host", "")) not in self.settings.hosts:
            await PlainTextResponse("This address is not served here.\n", 421)(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in FIXED.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
                if self.settings.secure:
                    headers.setdefault("strict-transport-security", _HSTS)
            await send(message)

        await self.app(scope, receive, with_headers)


def _host(found: str) -> str:
    """The name without its port."""
    if found.startswith("["):
        return found[1:].partition("]")[0].lower()
    return found.rpartition(":")[0].lower() if found.rpartition(":")[2].isdigit() and ":" in found else found.lower()
