"""What the server was started with."""

from dataclasses import dataclass
from urllib.parse import urlsplit

from steadycone.errors import InputError

LOOPBACK = ("127.0.0.1", "::1", "localhost")


@dataclass(frozen=True, slots=True)
class Settings:
    """Where it listens, and under which address people reach it.

    origin : scheme and host as a browser has them, such as "https://yard.example"; empty on this machine alone
    proxied : a proxy on this machine stands in front, and its X-Forwarded-For is believed
    notice : shown on the sign-in page; the demo tells its names there
    """

    host: str = "127.0.0.1"
    port: int = 8717
    origin: str = ""
    proxied: bool = False
    notice: tuple[str, ...] = ()

    @property
    def local(self) -> bool:
        return self.host in LOOPBACK

    @property
    def secure(self) -> bool:
        """Whether browsers come over TLS."""
        return self.origin.startswith("https://")

    @property
    def base(self) -> str:
        """What a QR code or a printed address begins with."""
        return self.origin or f"http://{self.host}:{self.port}"

    @property
    def hosts(self) -> frozenset[str]:
        """Host names that a request may be addressed to: any other is somebody else's page that points here."""
        own = urlsplit(self.origin).hostname if self.origin else None
        return frozenset({*LOOPBACK, own} if own else LOOPBACK)


def checked_origin(origin: str) -> str:
    """Raises  InputError: not a plain https address."""
    try:
        found = urlsplit(origin)
        _ = found.port  # one that is none is found out here
    except ValueError:  # such as half of the brackets of an IPv6 address
        found = urlsplit("")
    if found.scheme != "https" or not found.hostname or found.path not in ("", "/") or found.query or found.username:
        raise InputError(
            f'"{origin[:80]}" is not an address that people can trust',
            where="--origin",
            try_="Write the address that the proxy with the certificate answers to, such as https://yard.example",
        )
    return f"https://{found.netloc}"
