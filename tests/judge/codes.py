"""Which findings this judge gives by itself, and which it leaves to others, each with the reason."""

JUDGED = [
    "acetylene-cold",
    "acetylene-piped",
    "acetylene-pressure-flowing",
    "acetylene-pressure-static",
    "air-compressed",
    "arrestor-missing",
    "check-valve-missing",
    "contents-over",
    "contents-short",
    "contents-unknown",
    "cylinder-hot",
    "fuel-blocked",
    "fuel-draw",
    "fuel-mix-unknown",
    "gas-mark-missing",
    "gauge-coarse",
    "gauge-scale",
    "hose-choked",
    "hose-cold",
    "hose-grade",
    "hose-loss-high",
    "material-not-cuttable",
    "mixer-fuel",
    "oxygen-first-out",
    "part-age-unknown",
    "part-flow-unknown",
    "part-gas",
    "part-overdue",
    "part-pressure",
    "pierce-limit",
    "place-closed",
    "regulator-closing",
    "regulator-flow",
    "regulator-gas",
    "regulator-inlet",
    "regulator-over-cap",
    "regulator-range",
    "shared-draw",
    "supply-flow",
    "supply-pressure-low",
    "tip-outside-chart",
    "tip-over-pressure",
    "tip-starved",
]

_WORDS = "no figure in it: a word of the file decides, tests/edge/test_practice_words.py"
_CHART = "of a chart's own figures: tests/edge/test_chart_checks.py and test_chart_trade.py"
_ROOM = "the room's air has its own second way: tests/reference/test_room_air_second_way.py"
NOT_JUDGED = {
    "arrestor-starves": "solved with and without the part: tests/reference/test_practice_arrestor.py",
    "lpg-vaporisation": "wall heat: tests/reference/test_supply_cases.py",
    "leak-floor-coarse": "tests/reference/test_drop_reference.py and test_trapped_second_way.py",
    "leak-test-pressure": "tests/edge/test_leak_test.py",
    "purge-long": "tests/purge_front.py marches the front",
    "flame-ratio": "its limits are the fuels' neutral ratios: tests/reference/test_flame_cases.py",
    "oxygen-blocked": "the mirror of fuel-blocked, met once in a hundred stations",
    "policy-looser-than-law": "tests/edge/test_files_policy.py",
    **dict.fromkeys(
        ("adaptor", "oil-oxygen", "copper-acetylene", "cylinder-lay-down", "tare-basis", "fuel-stand-in", "job-attachment"), _WORDS
    ),
    **dict.fromkeys(("as-set-unknown", "no-chart", "tip-fuel", "tip-attachment", "place-low-points"), _WORDS),
    **dict.fromkeys(("chart-basis-unknown", "chart-estimate", "chart-incomplete", "chart-suspect"), _CHART),
    **dict.fromkeys(("enclosed-space", "space-air-needed", "space-flame-takes", "space-oxygen-jet"), _ROOM),
    **dict.fromkeys(("place-cylinders-inside", "place-held-unknown"), _ROOM),
}


def left_out(code: str) -> bool:
    """Whether a finding's code is one that this judge says it does not give."""
    return code in NOT_JUDGED or code.startswith(("record-", "round-"))  # the records and the round have judges of their own
