"""The card's JSON: the contract's keys, fixed units, a hash that means something."""

import json
from typing import Any

import msgspec
import pytest
from tests.edge import render_samples as samples

from steadycone.data.reader import FOLDER
from steadycone.render import contract
from steadycone.render.json_card import card_bytes, card_dict, card_hash
from steadycone.render.schema import card_schema, policy_schema, station_schema

TOP = [
    "format",
    "reference_state",
    "on",
    "hash",
    "made_by",
    "station",
    "job",
    "verdict",
    "tip",
    "oxygen",
    "fuel",
    "leak_test",
    "flame",
    "findings",
    "steps",
]
LINE = [
    "torch_inlet_pressure",
    "regulator_flowing_pressure",
    "regulator_static_pressure",
    "set_pressure",
    "loss_hoses",
    "loss_parts",
    "flow",
    "contents",
    "duration",
    "trapped_volume",
    "test_pressure",
    "test_reject",
    "leak_floor",
    "leak_wait",
    "high_leak_floor",
    "high_leak_wait",
    "purge_time",
    "purge_released",
]
UNITS = {
    "torch_inlet_pressure": "bar gauge", "regulator_static_pressure": "bar gauge", "set_pressure": "bar gauge", "loss_hoses": "bar",
    "loss_parts": "bar", "flow": "m3/h", "cutting_flow": "m3/h", "preheat_flow": "m3/h", "contents": "m3", "draw_limit": "m3/h",
    "duration": "min", "trapped_volume": "L", "test_pressure": "bar gauge", "test_reject": "L/h", "leak_floor": "L/h", "high_leak_floor": "L/h", "leak_wait": "min", "high_leak_wait": "min",
    "purge_time": "s", "purge_released": "L",
}  # fmt: skip


@pytest.mark.parametrize("name", samples.NAMES)
def test_every_example_keeps_the_contract(name: str) -> None:
    told = json.loads(card_bytes(card_dict(samples.card(name))))
    read = msgspec.json.decode(json.dumps(told), type=contract.Card)  # refuses unknown keys, wrong types and words
    assert read.format == "steadycone-card/1"
    assert set(TOP) | {"assumed", "cautions", "emergency", "sources"} <= set(told)


def test_the_demo_has_every_key_of_a_cutting_line() -> None:
    told = card_dict(samples.card("slip-2"))
    cylinders = {"cylinders_needed", "cylinders_needed_at_half"}
    assert set(told["oxygen"]) >= {*LINE, "cutting_flow", "preheat_flow", *cylinders}
    assert set(told["fuel"]) == {*LINE, "draw_limit", *cylinders}
    for line in ("oxygen", "fuel"):
        assert {key: number["unit"] for key, number in told[line].items() if key in UNITS} == {
            key: UNITS[key] for key in told[line] if key in UNITS
        }


def test_three_hoses_have_a_line_of_their_own() -> None:
    told = card_dict(samples.card("gantry-three-hose"))
    assert set(told["preheat_oxygen"]) >= set(LINE) - {"contents", "duration", "high_leak_floor", "high_leak_wait"}  # fed from a pipeline
    assert "as_set" not in told


def test_what_the_gauges_give_is_there_with_settings_only() -> None:
    told = card_dict(samples.card("as-set"))["as_set"]
    assert set(told) == {"oxygen", "fuel", "oxygen_to_fuel"}
    assert set(told["oxygen"]) == {"regulator_pressure", "torch_inlet_pressure", "flow", "cutting_flow", "preheat_flow", "state"}
    assert "as_set" not in card_dict(samples.card("slip-2"))


def test_what_is_not_known_is_null_and_not_left_out() -> None:
    told = card_dict(samples.blind())
    assert told["oxygen"]["flow"] is None
    assert told["fuel"]["set_pressure"] is None


def test_the_hash_is_the_same_for_the_same_card_and_for_another_order_of_keys() -> None:
    told = card_dict(samples.card("slip-2"))
    again = card_dict(samples.changed("slip-2"))
    turned = dict(reversed(list(told.items())))
    assert told["hash"] == again["hash"] == card_hash(turned) == card_hash(json.loads(card_bytes(told)))
    assert len(told["hash"]) == 64


def test_the_hash_leaves_out_who_made_it_and_notices_everything_else() -> None:
    told = card_dict(samples.card("slip-2"))
    assert card_hash(told | {"made_by": {"version": "other", "data": ""}}) == told["hash"]
    assert card_hash(told | {"verdict": "go"}) != told["hash"]
    assert card_dict(samples.changed("slip-2", ('pressure = "140 bar"', 'pressure = "141 bar"')))["hash"] != told["hash"]


def test_findings_come_worst_first_and_each_has_words_and_a_source_that_exists() -> None:
    for name in samples.NAMES:
        told = card_dict(samples.card(name))
        order = {"stop": 0, "caution": 1, "go": 2}
        ranks = [order[finding["verdict"]] for finding in told["findings"]]
        assert ranks == sorted(ranks)
        assert all(finding["says"] for finding in told["findings"])
        used = {key for part in ("findings", "steps", "cautions") for item in told[part] for key in item["source"]}
        assert used <= set(told["sources"])


def test_steps_and_cautions_have_no_blank_left() -> None:
    for name in samples.NAMES:
        told = card_dict(samples.card(name))
        texts = [step[key] for step in told["steps"] for key in ("do", "why")] + [caution["says"] for caution in told["cautions"]]
        assert [text for text in texts if "{" in text] == []


def test_the_emergency_list_asks_which_it_is() -> None:
    branches = card_dict(samples.card("bay-4-us"))["emergency"]
    assert [branch["id"] for branch in branches] == [
        "inside-torch", "burning", "hot-cylinder", "person-down", "clothes-burn", "unlit-gas",
    ]  # fmt: skip
    assert "oxygen valve on the torch" in branches[0]["do"][0]


def test_the_published_schema_is_the_one_the_program_makes() -> None:
    published = json.loads((FOLDER / "schema" / "card.schema.json").read_text(encoding="utf-8"))
    assert published == json.loads(json.dumps(card_schema()))


def test_schemas_of_files_name_what_the_files_hold() -> None:
    station, policy = station_schema(), policy_schema()
    assert {"station", "oxygen", "fuel", "torch", "tip", "job"} <= set(station["$defs"]["Station"]["properties"])
    assert policy["$defs"]["Policy"]["required"] == ["format"]
    assert "sources" not in policy["$defs"]["Policy"]["properties"]
    length: dict[str, Any] = station["$defs"]["Hose"]["properties"]["bore"]
    assert length["type"] == "string"
    assert length["examples"]
