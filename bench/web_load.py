"""Many requests at once over connections that stay open, with as little in between as Python allows."""

import asyncio
import time


async def _one(host: str, port: int, request: bytes, until: float, took: list[float], sizes: list[int]) -> None:
    reader, writer = await asyncio.open_connection(host, port)
    try:
        while not sizes or time.perf_counter() < until:
            begun = time.perf_counter()
            writer.write(request)
            head = await reader.readuntil(b"\r\n\r\n")
            status = int(head.split(b" ", 2)[1])
            if status != 200:
                raise SystemExit(f"the server answered {status}")
            length = next(int(line.split(b":")[1]) for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:"))
            await reader.readexactly(length)
            took.append(time.perf_counter() - begun)
            sizes.append(length)
    finally:
        writer.close()


def load(address: str, headers: dict[str, str], *, connections: int, seconds: float, path: str = "/") -> tuple[list[float], int]:
    """How long each answer took [s], and the size of one [bytes]."""
    host, _, port = address.removeprefix("http://").partition(":")
    lines = [f"GET {path} HTTP/1.1", f"Host: {host}:{port}", *(f"{name}: {value}" for name, value in headers.items()), "", ""]
    took: list[float] = []
    sizes: list[int] = []

    async def all_of_them() -> None:
        until = time.perf_counter() + seconds
        await asyncio.gather(*(_one(host, int(port), "\r\n".join(lines).encode(), until, took, sizes) for _ in range(connections)))

    asyncio.run(all_of_them())
    return took, sizes[-1]
