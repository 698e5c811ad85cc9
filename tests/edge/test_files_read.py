"""Reading a station with the files beside it: sizes, links, folders and rubbish."""

import os
from pathlib import Path

import pytest
from tests.files_samples import CHART, POLICY, STATION, write

from steadycone.errors import BadFile, InputError
from steadycone.files.read import read_setup


def refused(path: Path, text: str | None = None) -> InputError:
    with pytest.raises(InputError) as caught:
        read_setup(path, text=text)
    assert caught.value.where
    assert caught.value.try_
    return caught.value


def test_station_policy_and_chart_are_read_together(tmp_path: Path) -> None:
    setup = read_setup(write(tmp_path))
    assert setup.policy.site == "yard.toml"
    assert setup.chart is not None
    assert setup.chart.name == "chart.csv"
    assert setup.file == "slip-2.toml"


def test_without_policy_and_chart_the_region_alone_holds(tmp_path: Path) -> None:
    text = STATION.replace('policy = "yard.toml"\n', "").replace('chart = "chart.csv"\n', "")
    setup = read_setup(write(tmp_path, text))
    assert setup.chart is None
    assert setup.policy.site == ""


def test_text_from_standard_input_finds_its_neighbours(tmp_path: Path) -> None:
    write(tmp_path, station="rubbish")
    assert read_setup(tmp_path / "-", text=STATION).chart is not None


def test_a_missing_file_is_answered_with_the_nearest_name(tmp_path: Path) -> None:
    write(tmp_path)
    assert "slip-2.toml" in refused(tmp_path / "slip-3.toml").try_
    assert "no folder" in refused(tmp_path / "nowhere" / "slip-2.toml").try_


def test_a_missing_chart_names_the_place_that_asks_for_it(tmp_path: Path) -> None:
    error = refused(write(tmp_path, STATION.replace("chart.csv", "chard.csv")))
    assert error.where == 'slip-2.toml, tip, chart, "chard.csv"'
    assert "chart.csv" in error.try_


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    assert "folder" in refused(tmp_path).says


def test_a_pipe_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    assert "plain file" in refused(tmp_path / "pipe.toml").says


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_says_so(tmp_path: Path) -> None:
    path = write(tmp_path)
    path.chmod(0)
    assert "may not be read" in refused(path).says


def test_a_hundred_megabytes_are_refused_by_their_size_alone(tmp_path: Path) -> None:
    path = write(tmp_path)
    for name in ("slip-2.toml", "chart.csv", "yard.toml"):
        with open(tmp_path / name, "r+b") as file:
            kept = file.read()
            file.truncate(100_000_000)  # sparse: no disk is used, and reading it would take a while
        error = refused(path)
        assert isinstance(error, BadFile)
        assert "100.0 MB is too large" in error.says
        (tmp_path / name).write_bytes(kept)


def test_text_that_is_too_long_is_refused() -> None:
    assert "too large" in refused(Path("-"), text="#" * 1_000_001).says


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"\x00\x01\x02" * 50, "binary"),
        (b"\x7fELF" + bytes(range(256)), "binary"),
        ('format = "Gr\xfc\xdfe"'.encode("latin-1"), "line 1 is not UTF-8"),
        (STATION.encode("utf-16"), "UTF-16"),
        (bytes(range(128, 256)) * 20, "not UTF-8"),
    ],
)
def test_rubbish_gives_one_clear_message(tmp_path: Path, data: bytes, says: str) -> None:
    path = write(tmp_path)
    for name in ("slip-2.toml", "yard.toml", "chart.csv"):
        kept = (tmp_path / name).read_bytes()
        (tmp_path / name).write_bytes(data)
        assert says in refused(path).says
        (tmp_path / name).write_bytes(kept)


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    path = write(tmp_path)
    path.write_bytes(b"\xef\xbb\xbf" + STATION.encode())
    assert read_setup(path).station.station.region == "uk"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("../chart.csv", "leaves the folder"),
        ("sub/../../chart.csv", "leaves the folder"),
        ("/etc/hostname", "absolute"),
        ("C:/charts/a.csv", "absolute"),
        ("C:a.csv", "absolute"),
        ("sub\\\\a.csv", "backslash"),
        ("link.csv", "leaves the folder"),
        ("linked/chart.csv", "leaves the folder"),
        ("loop.csv", ""),
    ],
)
def test_a_chart_may_not_leave_the_folder(tmp_path: Path, name: str, says: str) -> None:
    outside, folder = tmp_path / "outside", tmp_path / "yard"
    outside.mkdir()
    folder.mkdir()
    (folder / "sub").mkdir()
    (outside / "chart.csv").write_text(CHART)
    (tmp_path / "chart.csv").write_text(CHART)
    (folder / "link.csv").symlink_to(outside / "chart.csv")
    (folder / "linked").symlink_to(outside)
    (folder / "loop.csv").symlink_to(folder / "loop.csv")
    error = refused(write(folder, STATION.replace("chart.csv", name)))
    assert says in error.says
    assert error.where.startswith("slip-2.toml, tip, chart")


def test_a_chart_in_a_folder_below_and_a_link_that_stays_inside_are_read(tmp_path: Path) -> None:
    path = write(tmp_path, STATION.replace("chart.csv", "charts/link.csv"))
    (tmp_path / "charts").mkdir()
    (tmp_path / "charts" / "link.csv").symlink_to(tmp_path / "chart.csv")
    assert read_setup(path).chart is not None


def test_a_policy_looser_than_the_law_is_refused_with_its_file(tmp_path: Path) -> None:
    error = refused(write(tmp_path, policy=POLICY.replace("0.9 bar", "2 bar")))
    assert error.code == "policy-looser-than-law"
    assert error.where == "yard.toml, acetylene_cap"
