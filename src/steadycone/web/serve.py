"""The server itself: one process, stopped in order."""

import logging
import sys
from typing import TYPE_CHECKING

from steadycone.web.app import make_app
from steadycone.web.yard import Yard

if TYPE_CHECKING:
    import uvicorn

GRACE = 5  # s that an answer under way is waited for
SWITCH = 0.0005  # s after which a thread that works out a page lets another have its turn; Python's own 0.005 makes short answers wait


def server(yard: Yard) -> "uvicorn.Server":
    """Ready to run(). Nothing of a request is logged but faults: addresses hold names of stations and people."""
    import uvicorn

    sys.setswitchinterval(SWITCH)
    logging.basicConfig(format="%(levelname)s %(message)s", level=logging.WARNING)
    return uvicorn.Server(
        uvicorn.Config(
            make_app(yard), host=yard.settings.host, port=yard.settings.port, access_log=False, log_level="warning", server_header=False,
            date_header=True, timeout_graceful_shutdown=GRACE, proxy_headers=False, lifespan="off", ws="none", limit_concurrency=400,
            h11_max_incomplete_event_size=32_768,
        )
    )  # fmt: skip
