"""The yard of 300 stations: pages a second beside a bare page in the same run; and the first page on a slow phone.

Goals: 200 pages a second or more on two cores (one serves, one asks); under 150 kB over the wire and usable in under 1 s on a throttled phone.
"""

import shutil
import statistics
import tempfile
from datetime import UTC, datetime
from pathlib import Path

from web_load import load
from web_serving import free_port, running
from yard_of import build_many

STATIONS = 300
SECONDS = 8.0
WHO = "L. Marsh"
# The usual profile of a slow phone: 1.6 Mbit/s down, 0.75 up, 150 ms there and back, a processor four times slower. Common practice, no source.
# When the text stands on the screen and the page is parsed: a person can read and press then.
_DRAWN = """() => new Promise((done) => {
  new PerformanceObserver((list) => {
    const drawn = list.getEntriesByName('first-contentful-paint')[0];
    if (drawn) done(Math.max(drawn.startTime, performance.getEntriesByType('navigation')[0].domInteractive));
  }).observe({ type: 'paint', buffered: true });
})"""
NETWORK = {"offline": False, "latency": 150, "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 0.75e6 / 8}
SLOWER = 4


def main() -> None:
    folder = Path(tempfile.mkdtemp(prefix="steadycone-bench-"))
    try:
        cookie = _build(folder / "yard.db")
        port = free_port()
        with running("yard", str(folder / "yard.db"), str(port), port=port) as address:
            size = _pages(address, cookie)
            _first_page(address, cookie)
        bare_port = free_port()
        for letters in (20, size):
            with running("bare", str(bare_port), str(letters), port=bare_port) as address:
                took, _ = load(address, {}, connections=8, seconds=SECONDS)
                print(
                    f"a bare Starlette page of {letters:,} bytes: {len(took) / SECONDS:,.0f} pages/s, median {statistics.median(took) * 1e3:.1f} ms"
                )
    finally:
        shutil.rmtree(folder)


def _build(path: Path) -> str:
    """A store with the stations; gives the cookie of somebody who is signed in."""
    from steadycone.records import open_store
    from steadycone.web.guard import passwords

    now = datetime.now(UTC).astimezone()
    with open_store(path) as store:
        build_many(store, now, STATIONS)
        if store.accounts.get(WHO) is None:
            store.accounts.add(WHO, passwords.hashed("nobody signs in with this"), now)
        return store.accounts.begin(WHO, now)


def _pages(address: str, cookie: str) -> int:
    """Pages a second, after one that makes the rows. Gives the size of a page over the wire."""
    headers = {"Cookie": f"steadycone={cookie}", "Accept-Encoding": "gzip"}
    first, size = load(address, headers, connections=1, seconds=0.001, path="/?all=1")
    print(f"the yard of {STATIONS} stations, the first time after a start: {first[0]:.2f} s (every card is made)")
    for told, given in (("compressed", headers), ("plain", {"Cookie": headers["Cookie"]})):
        took, bytes_ = load(address, given, connections=8, seconds=SECONDS, path="/?all=1")
        ninety_five = statistics.quantiles(took, n=20)[-1]
        print(
            f"the yard of {STATIONS} stations, {told} ({bytes_ / 1e3:.0f} kB): {len(took) / SECONDS:,.0f} pages/s, "
            f"median {statistics.median(took) * 1e3:.1f} ms, 95 % under {ninety_five * 1e3:.1f} ms"
        )
    return size


def _first_page(address: str, cookie: str) -> None:
    """What a phone that never saw the yard fetches, and when the page can be used."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), chromium_sandbox=False,
            args=["--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
        )  # fmt: skip
        for page_address, signed_in in (("/sign-in", False), ("/", True), ("/?all=1", True)):
            times, sizes = [], []
            for _ in range(5):
                context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, service_workers="block")
                if signed_in:
                    context.add_cookies([{"name": "steadycone", "value": cookie, "url": address}])
                page = context.new_page()
                tools = context.new_cdp_session(page)
                tools.send("Network.enable")
                tools.send("Network.emulateNetworkConditions", NETWORK)
                tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
                wire: list[float] = []
                tools.on("Network.loadingFinished", lambda event, wire=wire: wire.append(event["encodedDataLength"]))
                page.goto(address + page_address, wait_until="load")
                times.append(page.evaluate(_DRAWN))
                page.wait_for_timeout(300)
                sizes.append(sum(wire))
                context.close()
            print(
                f"first visit of {page_address} on a slow phone: {max(sizes) / 1e3:.0f} kB over the wire, drawn and usable after {statistics.median(times) / 1e3:.2f} s (worst of 5: {max(times) / 1e3:.2f} s)"
            )
        browser.close()


if __name__ == "__main__":
    main()
