"""Starting the server from the command line: this machine alone unless it is safe to be more."""

import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from steadycone.errors import InputError
from steadycone.web.settings import Settings, checked_origin
from tests.web.browser import free_port

COMMAND = Path(sys.executable).parent / "steadycone"


def start(*arguments: str, wait: bool = True) -> tuple[subprocess.Popen[str], int]:
    port = free_port()
    process = subprocess.Popen(
        [COMMAND, "serve", "--port", str(port), *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    for _ in range(600 if wait else 0):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            break
        except OSError:
            if process.poll() is not None:
                break
            time.sleep(0.05)
    return process, port


def test_the_first_start_prints_a_code_listens_here_alone_and_stops_in_order(tmp_path: Path) -> None:
    process, port = start("--store", str(tmp_path / "yard.db"))
    try:
        page = urllib.request.urlopen(f"http://127.0.0.1:{port}/first", timeout=10).read().decode()
        assert "Open the yard" in page
        others = [address[4][0] for address in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
        for address in {*others} - {"127.0.0.1", "127.0.1.1"}:
            with pytest.raises(ConnectionRefusedError):
                socket.create_connection((address, port), timeout=1)
    finally:
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert "give this code, once" in out
    assert "Traceback" not in err
    assert process.returncode in (0, 130)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--host", "0.0.0.0"], "passwords would go over the wire"),
        (["--origin", "http://yard.example"], "not an address that people can trust"),
        (["--origin", "https://yard.example/path"], "not an address that people can trust"),
        (["--origin", "https://yard.example"], "there is no account yet"),
        (["--host", "0.0.0.0", "--origin", "https://yard.example"], "there is no account yet"),
        (["--demo", "--host", "0.0.0.0"], ""),
    ],
)
def test_what_would_not_be_safe_is_refused_in_two_lines(tmp_path: Path, arguments: list[str], says: str) -> None:
    store = [] if "--demo" in arguments else ["--store", str(tmp_path / "yard.db")]
    process, _ = start(*store, *arguments, wait=False)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 2
    assert says in err
    assert len(err.strip().splitlines()) == 2


def test_hosts_that_are_ours() -> None:
    assert Settings().hosts == {"127.0.0.1", "::1", "localhost"}
    assert "yard.example" in Settings(origin=checked_origin("https://yard.example:8443/")).hosts
    with pytest.raises(InputError):
        checked_origin("ftp://yard.example")
