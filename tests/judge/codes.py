"""Which findings this judge gives by itself, and which it leaves to others, each with the reason."""

NOT_JUDGED = {
    "acetylene-piped": "pressure in pipes: not yet",
    "air-compressed": "words only",
    "arrestor-starves": "a share of flow at an unchanged regulator: tests/reference/test_practice_arrestor.py solves it a second way",
    "chart-basis-unknown": "charts here state their basis",
    "chart-suspect": "tests/edge/test_chart_checks.py",
    "fuel-mix-unknown": "words only",
    "lpg-vaporisation": "tests/reference/test_supply_cases.py",
    "leak-floor-coarse": "tests/reference/test_drop_reference.py",
    "purge-long": "tests/purge_front.py marches the front",
    "record-*": "tests/records",
    "space-*, enclosed-space, place-*": "tests/reference/test_room_air_second_way.py",
}
