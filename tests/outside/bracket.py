"""An independent implementation of the bracket's rule, compared with the program over random rides.

    python3 bracket.py PROGRAM COUNT

It knows nothing of the program's code: the rule is written again from its description. Positions
are clicks from closed, 0 to N. Each random ride has its own range, start, step, first direction,
way of counting and answers; the program rides it with its `--answers`.
"""

import random
import sys
from pathlib import Path

import riding


def settle(top, start, step, up, verdicts):
    """Where a ride settles, and how many of the verdicts it needs."""
    best = low = high = current = start
    direction = 1 if up else -1
    found = turned = False
    used = 0
    while True:
        following = max(0, min(top, current + direction * step))
        if following != current:
            verdict = verdicts[used]
            used += 1
            if verdict == "better":
                best = current = low = high = following
                found = True
                continue
            if verdict == "same":
                current = following
                low, high = min(low, following), max(high, following)
                continue
        # worse, or the end of the range
        if found or turned:
            break
        turned = True
        direction = -direction
        current = start
    middle = (low + high) / 2
    if middle != int(middle):
        middle += 0.5 if best > middle else -0.5
    return int(middle), used


def one(program, folder, draw):
    top = draw.randint(1, 40)
    start = draw.randint(0, top)
    silent = draw.random() < 0.5
    step = (1 if top <= 10 else 2) if silent else draw.randint(1, min(5, top))
    up = draw.random() < 0.5
    from_open = draw.random() < 0.5
    verdicts = [draw.choice(["better", "worse", "same"]) for _ in range(60)]
    expected, used = settle(top, start, step, up, verdicts)
    if used > 22:  # a tune ends after 24 laps; such rides are another test's
        return False

    def shown(position):
        return top - position if from_open else position

    clauses = [f"0 to {top} clicks", f"start {shown(start)}"]
    if not silent:
        clauses.append(f"step {step} click{'' if step == 1 else 's'}")
    if from_open:
        clauses.append("counted from open")
    tune = f", begin {'faster' if up else 'slower'}"
    case = f"top {top} start {start} step {step} up {up} from_open {from_open} {verdicts[:used]}"
    value = riding.ridden(program, folder, ", ".join(clauses), tune, verdicts[:used], case)["value"]
    assert value == shown(expected), f"{case}\nexpected {shown(expected)}, got {value}"
    return True


def main():
    program, count = Path(sys.argv[1]).resolve(), int(sys.argv[2])
    draw = random.Random(20260516)
    done = 0
    with riding.folder() as folder:
        while done < count:
            done += one(program, folder, draw)
    print(f"{done} rides settle alike")


if __name__ == "__main__":
    main()
