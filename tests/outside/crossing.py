"""An independent implementation of crossing out, compared with the program over random rides.

    python3 crossing.py PROGRAM COUNT

It knows nothing of the program's code: the rule is written again from its description, in fractions. Positions
are clicks from closed, 0 to N. Each random ride has its own range, start, first direction, way of counting and
answers to first and second questions; the program rides it with its `--answers`.
"""

import random
import sys
from collections import Counter
from fractions import Fraction
from math import floor
from pathlib import Path

import riding

MOST_LAPS = 8
HALF = Fraction(1, 2)
# Rides in which a lap would leave the range and goes the other way, which one drawn ride in ten thousand does:
# range, start, up, answers.
RARE = [
    (15, 8, True, "same worse same same same same better worse better same worse"),
    (14, 3, False, "worse same worse worse better worse better better better"),
    (16, 16, False, "same better worse same same same better worse better better same"),
]


class Ruler:
    """Marks on half positions, each with its crosses."""

    def __init__(self, top):
        self.crosses = {Fraction(mark, 2): 0 for mark in range(2 * top + 1)}

    def cross(self, newer, older, verdict):
        if abs(newer - older) < 2 or verdict == "skip":
            return
        middle = Fraction(newer + older, 2)
        for mark in self.crosses:
            if verdict == "same":
                out = abs(mark - middle) > 1
            else:
                loser = older if verdict == "better" else newer
                out = mark > middle if loser > middle else mark < middle
            self.crosses[mark] += out

    def left(self):
        fewest = min(self.crosses.values())
        marks = [mark for mark, crosses in self.crosses.items() if crosses == fewest]
        return min(marks), max(marks)


def rounded(value, best):
    """A whole number, a half toward the best."""
    if value - floor(value) == HALF:
        return floor(value) + (1 if best > value else 0)
    return floor(value + HALF)


def settle(top, start, up, answer):
    """Where a ride settles, its laps, and whether a lap was drawn back from an end of the range, which is rare.
    `answer` gives the next answer to a first or a second question."""
    step = 3 if top <= 7 else 4
    ruler = Ruler(top)
    laps = [start]
    best = current = start
    best_lap, former_best = 0, None
    direction = 1 if up else -1
    found = turned = drawn_back = False

    def ahead():
        return max(0, min(top, current + direction * step))

    if abs(ahead() - start) < 2:
        direction, turned = -direction, True
    while len(laps) < MOST_LAPS:
        following = ahead()
        verdict = "worse"
        if abs(following - current) >= 2:
            previous = len(laps) - 1
            second = laps[previous] if previous != best_lap else former_best
            laps.append(following)
            verdict = answer()
            ruler.cross(following, best, verdict)
            if second is not None:
                ruler.cross(following, second, answer(second=True))
        if verdict == "better":
            former_best, best, best_lap, current = best, following, len(laps) - 1, following
            found = True
        elif verdict == "same":
            current = following
        else:
            if found or turned:
                break
            turned, direction, current = True, -direction, start
            if abs(ahead() - current) < 2:
                break
    while True:
        low, high = ruler.left()
        middle = (low + high) / 2
        if high - low <= 3 or len(laps) >= MOST_LAPS:
            return rounded(middle, best), laps, drawn_back
        last = laps[-1]
        lap = rounded(2 * middle - last, best)
        if abs(lap - last) < step:
            way = direction if middle == last else 1 if middle > last else -1
            if not 0 <= last + way * step <= top:
                way, drawn_back = -way, True
            lap = last + way * step
        lap = max(last - 2 * step, min(last + 2 * step, lap))
        lap = max(0, min(top, lap))
        nearest = min(reversed(range(len(laps))), key=lambda index: abs(laps[index] - middle))
        laps.append(lap)
        ruler.cross(lap, last, answer())
        if laps[nearest] not in (last, lap):
            ruler.cross(lap, laps[nearest], answer(second=True))


def drawn(program, folder, draw):
    """A drawn ride, and its laps."""
    top = draw.randint(4, 40)
    start = draw.randint(0, top)
    # all answers alike, or one of them more often
    weights = draw.choice([(1, 1, 1), (1, 1, 1), (4, 1, 1), (1, 1, 4), (1, 4, 1)])

    def answer(second=False):
        skipped = second and draw.random() < 0.1
        return "skip" if skipped else draw.choices(["better", "same", "worse"], weights)[0]

    return one(program, folder, top, start, draw.random() < 0.5, draw.random() < 0.5, answer)[0]


def rare(program, folder, top, start, up, answers):
    answers = iter(answers.split())
    _, drawn_back = one(program, folder, top, start, up, False, lambda second=False: next(answers))
    assert drawn_back and next(answers, None) is None


def one(program, folder, top, start, up, from_open, answer):
    """Rides with the program: the laps, and whether one was drawn back from an end."""
    answers = []

    def kept(second=False):
        answers.append(answer(second))
        return answers[-1]

    expected, laps, drawn_back = settle(top, start, up, kept)

    def shown(position):
        return top - position if from_open else position

    adjuster = f"0 to {top} clicks, start {shown(start)}{', counted from open' if from_open else ''}"
    tune = f", method cross-out, begin {'faster' if up else 'slower'}"
    case = f"{adjuster}{tune}: {answers} laps {laps}"
    settled = riding.ridden(program, folder, adjuster, tune, answers, case)
    assert settled["value"] == shown(expected), f"{case}\nexpected {shown(expected)}, got {settled}"
    assert len(settled["laps"]) == len(laps), f"{case}\n{settled}"
    return len(laps), drawn_back


def main():
    program, count = Path(sys.argv[1]).resolve(), int(sys.argv[2])
    draw = random.Random(20260516)
    with riding.folder() as folder:
        lengths = Counter(drawn(program, folder, draw) for _ in range(count))
        for ride in RARE:
            rare(program, folder, *ride)
    assert set(lengths) == set(range(2, MOST_LAPS + 1)), lengths
    print(f"{count} rides settle alike, and {len(RARE)} rare ones")


if __name__ == "__main__":
    main()
