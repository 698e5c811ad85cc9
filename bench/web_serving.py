"""Servers in processes of their own, for the benches: the yard over a store, or a bare Starlette application to compare with.

python bench/web_serving.py yard STORE PORT
python bench/web_serving.py bare PORT BYTES
"""

import contextlib
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@contextlib.contextmanager
def running(*arguments: str, port: int) -> Iterator[str]:
    """A server in a process of its own; gives its address once it answers."""
    process = subprocess.Popen([sys.executable, __file__, *arguments])
    try:
        for _ in range(400):
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            time.sleep(0.05)
        else:
            raise SystemExit("the server did not start")
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(timeout=20)


def serve_yard(store: Path, port: int) -> None:
    from steadycone.records import open_store
    from steadycone.web.serve import server
    from steadycone.web.settings import Settings
    from steadycone.web.yard import Yard

    with open_store(store) as found:
        server(Yard(found, Settings(port=port), lambda: datetime.now(UTC).astimezone())).run()


def serve_bare(port: int, size: int) -> None:
    """A page of so many letters, and an echo of JSON, with nothing else around them."""
    import uvicorn
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import HTMLResponse, JSONResponse, Response
    from starlette.routing import Route

    page = "x" * size

    async def bare(request: Request) -> Response:
        return HTMLResponse(page)

    async def echo(request: Request) -> Response:
        return JSONResponse(await request.json())

    app = Starlette(routes=[Route("/", bare), Route("/echo", echo, methods=["POST"])])
    uvicorn.run(app, host="127.0.0.1", port=port, access_log=False, log_level="warning")


if __name__ == "__main__":
    if sys.argv[1] == "yard":
        serve_yard(Path(sys.argv[2]), int(sys.argv[3]))
    else:
        serve_bare(int(sys.argv[2]), int(sys.argv[3]))
