"""How triage answers phrases that were set aside while it was written: right, dangerous, false alarms. Nothing is tuned on this list.

    python bench/triage_held.py [LIST]            the three figures of a list (phrase;must;mustnot)
    python bench/triage_held.py [LIST] --wrong    and the phrases that got none of the answers they need

Who reads the wrong ones and mends their words has used the list up: it goes to tests/triage_phrases, and another is written.
"""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from tests import triage_needs

LIST = Path(__file__).with_suffix(".csv")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("list", type=Path, nargs="?", default=LIST)
    parser.add_argument("--wrong", action="store_true")
    told = parser.parse_args()
    triage_needs.FOLDER = told.list.parent
    found = [triage_needs.judged(one) for one in triage_needs.phrases(told.list.name)]
    ordinary = [one for one in found if one.ordinary]
    print(f"{len(found)} phrases: {sum(one.right for one in found) / len(found):.1%} right (goal 95 %),")
    print(f"{sum(one.dangerous for one in found)} without any answer to what can kill (goal 0),")
    print(f"{sum(one.false_alarm for one in ordinary)} false alarms in {len(ordinary)} of ordinary talk (goal 5 %).")
    if told.wrong:
        for one in found:
            if not one.right:
                print(f"  {one.phrase.phrase}: {one.event}, needs {one.phrase.must}")


if __name__ == "__main__":
    main()
