"""Compares the program's narrowing search with that of posterior.py over random rides.

    python3 narrowing.py PROGRAM COUNT

Positions are clicks from closed, 0 to N. Each random ride has its own range, start, effort, way of counting,
answers, and with or without a first direction and second questions; the program rides it with its `--answers`.
"""

import random
import sys
from pathlib import Path

import riding
from posterior import ANSWERS, Search


def one(program, folder, draw):
    """Rides with the program: the second questions."""
    top = draw.randint(1, 30)
    start = draw.randint(0, top)
    from_open = draw.random() < 0.5
    hint = draw.choice([None, "up", "down"])
    effort = draw.choice(["quick", "normal", "thorough"])
    twice = draw.random() < 0.7
    weights = draw.choice([(1, 1, 1), (4, 1, 1), (1, 1, 4), (1, 4, 1)])
    # a first direction that leads out of the range turns at once, and nothing is taken from it
    ends = start in (0, top)
    outward = (hint, start) in (('up', top), ('down', 0))
    search = Search(top, start, None if outward else hint, effort=effort, second=twice)
    answers, seconds = [], 0

    def answer():
        answers.append(draw.choices(ANSWERS, weights)[0])
        return answers[-1]

    decided = search.next()
    if hint is None and not ends and draw.random() < 0.5:  # otherwise left out, which is the same
        answers.append("either")
    while "settle" not in decided:
        first = answer()
        second = None if decided["also"] is None else answer()
        seconds += second is not None
        search.hear(decided["at"], first, second)
        decided = search.next()

    def shown(position):
        return top - position if from_open else position

    adjuster = f"0 to {top} clicks, start {shown(start)}{', counted from open' if from_open else ''}"
    way = {None: "", "up": ", try faster first", "down": ", try slower first"}[hint]
    tune = f", method narrow{way}"
    plan = f'plan "P"\n  effort {effort}\n  compare twice {"yes" if twice else "no"}\n'
    case = f"{adjuster}{tune}, {effort}, twice {twice}: {answers} laps {search.laps}"
    settled = riding.ridden(program, folder, adjuster, tune, answers, case, plan)
    assert settled["value"] == shown(decided["settle"]), f"{case}\nexpected {decided}, got {settled}"
    assert len(settled["laps"]) == len(search.laps), f"{case}\n{settled}"
    return seconds


def main():
    program, count = Path(sys.argv[1]).resolve(), int(sys.argv[2])
    draw = random.Random(20260516)
    with riding.folder() as folder:
        seconds = sum(one(program, folder, draw) for _ in range(count))
    assert seconds > count / 3, seconds
    print(f"{count} rides settle alike")


if __name__ == "__main__":
    main()
