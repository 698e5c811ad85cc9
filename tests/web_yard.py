"""An office with something in it: charts, a policy, the example stations, some gear, a defect and a piece in quarantine."""

from pathlib import Path

from steadycone.records import New, events
from steadycone.records.station_files import file_paper, file_station
from tests.web_desk import NOW, ROOT, Office

EXAMPLES = ROOT / "examples"
SLIP = "Slip 2, frame bench"
GEAR = (
    ("R-0142", "regulator", "oxygen", "2023-02", "oxygen regulator"),
    ("R-0143", "regulator", "acetylene", "2023-02", "fuel regulator"),
    ("A-14", "arrestor", "oxygen", "2025-02", "oxygen part 1"),
    ("H-22", "hose", "oxygen", "2024-05", "oxygen part 2"),
    ("T-3", "torch", "", "2025-01", "torch"),
)


def file_papers(office: Office) -> None:
    """Every chart and policy of the examples, under the names that the station files use."""
    for what, pattern in (("chart", "charts/*.csv"), ("policy", "policies/*.toml")):
        for path in sorted(EXAMPLES.glob(pattern)):
            file_paper(office.site, "L. Marsh", NOW, path.relative_to(EXAMPLES).as_posix(), what, path.read_bytes())  # type: ignore[arg-type]


def file_examples(office: Office, *names: str) -> None:
    """Example stations, all of them unless some are named."""
    for path in sorted(EXAMPLES.glob("*.toml")):
        if not names or path.stem in names:
            file_station(office.site, "L. Marsh", NOW, path.name, Path(path).read_text(encoding="utf-8"))


def add_gear(office: Office) -> None:
    """A make-up of the bench on slip 2, all of it in date."""
    tested = {"tested": events.Dated(date="2026-03-04", basis="certificate")}
    for mark, item, gas, made, _ in GEAR:
        dates = {"made": events.Dated(date=made, basis="stamp")} | tested
        office.site.append(New(events.GearAdded(mark=mark, item=item, gas=gas, dates=dates), "T. Vance", NOW))  # type: ignore[arg-type]
    makeup = {place: mark for mark, _, _, _, place in GEAR}
    office.site.append(New(events.StationMadeUp(station=SLIP, makeup=makeup), "L. Marsh", NOW))


def filled(office: Office) -> None:
    """All of it, with a small defect and a hose in quarantine."""
    file_papers(office)
    file_examples(office)
    add_gear(office)
    spare = events.GearAdded(mark="H-31", item="hose", gas="acetylene", dates={"made": events.Dated(date="2024-01", basis="stamp")})
    office.site.append(New(spare, "T. Vance", NOW), New(events.Quarantined(mark="H-31", reason="flashback inside"), "L. Marsh", NOW))
    office.site.append(New(events.DefectFound(says="Key of the cylinder is bent", severity="caution", station=SLIP), "O. Quist", NOW))
    move = events.CylinderMoved(mark="OX-881", gas="oxygen", to="store", state="full", contents="200 bar", came_from="supplier")
    office.site.append(New(move, "L. Marsh", NOW))
