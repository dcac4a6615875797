"""Prints the figures of folders of talks: `tests/talks/measure.py [--kind clean|heard|recognised] FOLDER ...`."""

from __future__ import annotations

import sys
from pathlib import Path

from test_talks import measured


def main(arguments: list[str]) -> None:
    kinds = ["clean", "heard", "recognised"]
    if arguments[:1] == ["--kind"]:
        kinds, arguments = [arguments[1]], arguments[2:]
    for folder in arguments:
        for kind in kinds:
            t, notes = measured(Path(folder), kind)
            if not t:
                continue
            print(f"-- {folder} ({kind})")
            print(f"drinks found     {t['drinks found']} of {t['drinks gold']}, invented {t.get('drinks extra', 0)}")
            print(f"ingredient F1    {200 * t['ing hit'] / (t['ing gold'] + t['ing got']):.1f} %")
            print(f"amounts right    {100 * t['amount right'] / t['amount gold']:.1f} %")
            print(f"silent errors    {t['silent']} of {t['ing gold']} ingredients")
            print(f"asks recalled    {t['asks hit']} of {t['asks gold']}, not in gold {t['questions not in gold']}")
            print(f"components right {t['component hit']} of {t['component gold']}")
            print(f"names right      {t['mentions before']} before, {t['mentions after']} after, of {t['mentions']}")
            print(*("   " + n for n in notes), sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
