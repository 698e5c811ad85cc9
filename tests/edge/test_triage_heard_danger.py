"""Dangers that were told and not heard, each with its harmless neighbour."""

import pytest

from steadycone.procedures.triage import triage
from steadycone.render.triage import triage_dict


def event_of(said: str) -> str:
    return str(triage_dict(triage(said), "uk")["event"])


@pytest.mark.parametrize(
    ("said", "event", "harmless"),
    [
        ("could not make the squeal stop", "sustained backfire", "no squeal when it stopped"),
        ("burns on with everything shut at the torch", "flame stays", "burns blue with the lever down"),
        ("the leak lit by itself", "hose burst", "no leak, it lit fine"),
        ("kids opened the valves in the store", "gas escaping", "kids visit the yard tomorrow"),
        ("white cloud from the LPG bottle", "gas escaping", "white weather cloud over the yard"),
        ("the air test says 24 % oxygen", "oxygen enrichment", "the air test says 20 % oxygen"),
        ("meter shows 25 percent oxygen in the tank", "oxygen enrichment", "set oxygen to 25 psi for the test"),
        ("he went down the pit and never came out", "person down", "the men come out at four"),
        ("cylinder shot through the wall", "cylinder fell", "the pipe goes through the wall"),
        ("oxygen gone and both valves were open", "reverse flow", "order oxygen, both racks are full"),
        ("liquid gas running out of the bottle", "gas escaping", "the liquid runs out of the soap bottle"),
        ("nobody answers from the hold", "person down", "nobody answers the phone"),
        ("fire under the acetylene", "fire nearby", "mist on the windows of the workshop"),
        ("I'm on fire", "clothes burning", "fire drill on friday"),
    ],
)
def test_danger_is_heard_and_its_neighbour_is_not(said: str, event: str, harmless: str) -> None:
    assert event_of(said) == event
    assert event_of(harmless) == "none fits"


def test_a_smoky_flame_is_no_smoke_from_the_torch_and_smoke_is() -> None:
    assert event_of("flame is yellow and smoky") == "none fits"
    assert event_of("flame went out and smoke came from the handle") == "sustained backfire"
