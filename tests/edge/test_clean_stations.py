"""Sound stations are a plain go, and stop being one when one thing on them is spoilt."""

import pytest
from tests.clean_stations import SOUND, Sound, card, station_text


@pytest.mark.parametrize("sound", SOUND, ids=lambda sound: f"{sound.region} {sound.fuel} {sound.attachment}")
def test_a_sound_station_is_a_plain_go(sound: Sound) -> None:
    made = card(station_text(sound))
    assert [(f.code, f.subject, f.verdict, f.text) for f in made.findings if f.verdict != "go"] == []


@pytest.mark.parametrize("sound", SOUND, ids=lambda sound: f"{sound.region} {sound.fuel} {sound.attachment}")
@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("[torch]", '[place]\nenclosed = true\nvolume = "30 m3"\n[torch]'),
        ('kind = "arrestor"', 'kind = "coupling"'),
        ('gas = "oxygen"', 'gas = "nitrogen"'),
        ('tested = "2026-06-15"', 'tested = "2019-06-15"\n# '),
        ('grade = "oxygen"', 'grade = "acetylene"'),
        ("[torch]", '[[declared]]\nkind = "oil"\nwhere = "oxygen inlet"\n[torch]'),
        ('rated_flow = "', 'rated_flow = "0.'),
    ],
)
def test_one_thing_spoilt_is_never_a_plain_go(sound: Sound, old: str, new: str) -> None:
    text = station_text(sound)
    assert old in text
    if old.startswith("tested"):
        text = text.replace('made = "2024-06"', 'made = "2018-06"', 1)
    assert card(text.replace(old, new, 1)).verdict != "go"
