"""Compares our normal distribution, what pairs show by chance, and how many must agree, with scipy.

    python3 chance.py FILE

The file has, as JSON: `normal`, pairs of x and our share below it; `one` and `two`, for 1, 2, 3 .. pairs our
chance of 0, 1, 2 .. agreeing, with one side and with two; `least_one` and `least_two`, for 1, 2, 3 .. pairs the
least number that must agree, null where there is none; `power_one` and `power_two`, for 1, 2, 3 .. pairs how often a
rider who prefers one setting in 7, 8, 9 of 10 pairs gets there.
"""

import json
import sys

from scipy.stats import binom, binomtest, norm

PAIRS = 64
LEVEL = 0.05


def same(ours, scipy, what):
    if not abs(ours - scipy) <= 1e-12 * abs(scipy):
        sys.exit(f"{what}: ours {ours!r}, scipy {scipy!r}")


def least(chances, pairs):
    """The least number, more than half of the pairs, that chance gives in at most so many tries."""
    return next((k for k in range(pairs + 1) if 2 * k > pairs and chances[k] <= LEVEL), None)


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        ours = json.load(file)
    at = [x for x, _ in ours["normal"]]
    assert min(at) <= -37 and max(at) >= 8 and len(set(at)) >= 200, "too few places"
    for x, share in ours["normal"]:
        same(share, float(norm.cdf(x)), f"normal share below {x}")
    counted = powers = 0
    for sides, alternative in (("one", "greater"), ("two", "two-sided")):
        assert len(ours[sides]) == len(ours[f"least_{sides}"]) == PAIRS
        for pairs in range(1, PAIRS + 1):
            row = ours[sides][pairs - 1]
            chances = [float(binomtest(k, pairs, 0.5, alternative).pvalue) for k in range(pairs + 1)]
            assert len(row) == len(chances)
            for k, (chance, wanted) in enumerate(zip(row, chances)):
                same(chance, wanted, f"{k} of {pairs}, {alternative}")
                counted += 1
            found, wanted = ours[f"least_{sides}"][pairs - 1], least(chances, pairs)
            if found != wanted:
                sys.exit(f"least of {pairs}, {alternative}: ours {found}, scipy {wanted}")
            for power, preference in zip(ours[f"power_{sides}"][pairs - 1], (0.7, 0.8, 0.9), strict=True):
                there = 0.0 if wanted is None else binom.sf(wanted - 1, pairs, preference)
                if wanted is not None and sides == "two":
                    there += binom.cdf(pairs - wanted, pairs, preference)
                if not abs(power - there) <= 1e-12:
                    sys.exit(f"power of {pairs}, {alternative}: ours {power}, scipy {there}")
                powers += 1
    print(f"{len(at)} shares, {counted} chances, {2 * PAIRS} least numbers and {powers} powers are those of scipy")


if __name__ == "__main__":
    main()
