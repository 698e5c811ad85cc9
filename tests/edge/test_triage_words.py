"""Plain words to signs: other words for the same, denials, words for an event, and what is not understood."""

import pytest

from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.procedures.triage import triage
from steadycone.procedures.triage import words as reading
from steadycone.procedures.triage.hear import hear

SIGNS = toml("triage/signs.toml")


@pytest.mark.parametrize(
    ("said", "signs"),
    [
        ("whistle, hot handle", {"squeal", "hot-handle"}),
        ("Squealing; HOT blowpipe!", {"squeal", "hot-handle"}),
        ("the grip is getting warm and it whistles", {"squeal", "hot-handle"}),
        ("pops when I press the lever", {"pop-lever"}),
        ("snapped, then the flame came back", {"pop", "flame-relights"}),
        ("arrester tripped", {"arrestor-tripped"}),
        ("sooty deposit in the hoses", {"soot-in-hose"}),
        ("paint blistered on the bottle", {"cylinder-blistered"}),
        ("needle creeping up", {"low-gauge-rises"}),
        ("torch valve won't shut", {"flame-remains"}),
        ("no flame", {"flame-out"}),
        ("oxygen coming out of the acetylene valve", {"gas-in-other-hose"}),
        ("regulator is icing up", {"frost"}),
    ],
)
def test_it_knows_the_sign_behind_everyday_words(said: str, signs: set[str]) -> None:
    assert set(hear(said).signs) == signs


@pytest.mark.parametrize(
    ("said", "signs", "absent"),
    [
        ("pop, no smoke", {"pop"}, {"smoke"}),
        ("pop, no smoke or hiss", {"pop"}, {"smoke", "hiss"}),
        ("pop without any hissing", {"pop"}, {"hiss"}),
        ("pop, didn't squeal", {"pop"}, {"squeal"}),
        ("pop, smoke not seen", {"pop"}, {"smoke"}),
        ("pop, hiss: none", {"pop"}, {"hiss"}),
        ("the cylinder was not hot, pop", {"pop"}, {"hot-cylinder"}),
        ("pop, cylinder isn’t warm", {"pop"}, {"hot-cylinder"}),
        ("no smoke and hiss", {"hiss"}, {"smoke"}),
        ("no smoke, just a hiss", {"hiss"}, {"smoke"}),
        ("no smoke only hiss", {"hiss"}, {"smoke"}),
        ("not only a pop, squeal", {"pop", "squeal"}, set()),
        ("hissing does not stop", {"hiss"}, set()),
    ],
)
def test_what_is_denied_is_no_sign(said: str, signs: set[str], absent: set[str]) -> None:
    heard = hear(said)
    assert set(heard.signs) == signs
    assert set(heard.absent) >= absent
    assert not set(heard.signs) & set(heard.absent)


def test_a_doubt_is_no_denial() -> None:
    assert "hiss" in hear("not sure if it hissed").signs


@pytest.mark.parametrize("word", ["flashback", "Backfire", "a flash-back", "reverse flow", "regulator creep", "sustained backfire"])
def test_a_word_for_an_event_decides_nothing_and_is_asked_about(word: str) -> None:
    found = triage(word)
    assert found.event == "unclear"
    assert found.heard.named
    assert any(ask.said for ask in found.asks)


def test_a_word_for_an_event_beside_signs_is_told_and_not_counted() -> None:
    found = triage("we had a backfire with a whistle and a hot handle")
    assert found.event == "sustained backfire"
    assert found.heard.named == ("backfire",)
    assert found.certainty == "possible"


def test_an_arrestors_own_name_is_no_word_for_an_event() -> None:
    heard = hear("flashback arrestor tripped")
    assert heard.signs == ("arrestor-tripped",)
    assert not heard.named


def test_an_unknown_word_is_told_with_the_nearest_sign() -> None:
    found = triage("pop, sqeal")
    assert [(item.said, item.nearest) for item in found.heard.unknown] == [("sqeal", "squeal")]
    assert found.certainty == "possible"
    assert any(ask.sign == "squeal" for ask in found.asks)


@pytest.mark.parametrize(
    ("said", "sign"),
    [
        ("squeel", "squeal"),
        ("hot cylnder", "hot-cylinder"),
        ("greese on oxygen", "oil-seen"),
        ("he is uncouncious in the tank", "person-down"),
    ],
)
def test_a_slip_of_the_finger_in_a_long_word_is_read_as_it_was_meant(said: str, sign: str) -> None:
    assert sign in hear(said).signs


@pytest.mark.parametrize("said", ["planted", "hostel", "bottled water", "a printer", "the dairy", "cuttings"])
def test_another_word_is_no_slip(said: str) -> None:
    assert hear(said).signs == ()


@pytest.mark.parametrize(
    ("said", "sign"),
    [
        ("the meter says 22 % oxygen in the tank", None),
        ("the meter says 22.5 % oxygen in the tank", "oxygen-escapes"),
        ("the oxygen bottle reads 50 % full", None),
        ("the gauge goes from 3 to 5 bar by itself", "low-gauge-rises"),
        ("LEL meter at 4", None),
        ("LEL meter at 5", "gas-escapes"),
        ("could not make the squeal stop", "squeal"),
        ("we could not make it to the shop", None),
    ],
)
def test_figures_and_what_could_not_be_ended(said: str, sign: str | None) -> None:
    signs = hear(said).signs
    assert sign in signs if sign else signs == ()


def test_a_word_for_an_event_that_is_taught_is_nothing_that_happened() -> None:
    assert triage("what does a flashback sound like").event == "none fits"
    assert triage("flashback").event == "unclear"


def test_a_word_like_nothing_known_is_told_too() -> None:
    found = triage("gurgling")
    assert [(item.said, item.nearest) for item in found.heard.unknown] == [("gurgling", None)]
    assert found.event == "none fits"
    assert any(ask.said == "gurgling" for ask in found.asks)


@pytest.mark.parametrize("said", ["", " , ;", []])
def test_nothing_said_is_refused(said: str | list[str]) -> None:
    with pytest.raises(InputError):
        triage(said)


@pytest.mark.parametrize(("sign", "phrase"), [(sign, phrase) for sign, entry in SIGNS.items() for phrase in entry["also"]])
def test_every_listed_way_to_say_a_sign_is_understood(sign: str, phrase: str) -> None:
    said = phrase.replace("not ", "no ")
    assert sign in hear(said).signs


def test_no_word_has_two_meanings() -> None:
    seen: dict[str, str] = {}
    for key, listed in toml("triage/words.toml")["same"].items():
        for word in listed:
            assert word not in seen, f"{word}: {seen[word]} and {key}"
            seen[word] = key


@pytest.mark.parametrize(
    ("word", "stem"),
    [("hissing", "hiss"), ("hisses", "hiss"), ("tripped", "trip"), ("whistles", "whistl"), ("gas", "gas"), ("ring", "ring")],
)
def test_endings_of_number_and_tense_are_dropped(word: str, stem: str) -> None:
    assert reading.stem(word) == stem
