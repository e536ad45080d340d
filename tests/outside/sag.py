"""Another implementation of the next pressure from measured sag, which solves the fit with numpy's least
squares, the ridge as one more row of it. Prints for each of many drawn rides a line
`AIM READ-TO SLOPE GAUGE` and behind it `GAUGE SAG` for each reading; pressures in kPa, sag in mm."""

import math
import random

import numpy

ATMOSPHERE = 101.325
USUAL, DEVIATION = 0.7, 0.15
LEAST, LARGEST = 0.15, 1.5


def fit(readings, read_to):
    """The slope and the level of ln P = level - slope ln s."""
    rows, values = [], []
    for gauge, sag in readings:
        deviation = math.hypot(USUAL * read_to / math.sqrt(3) / sag, 0.006)
        rows.append([-math.log(sag) / deviation, 1 / deviation])
        values.append(math.log(gauge + ATMOSPHERE) / deviation)
    free = numpy.linalg.lstsq(
        numpy.array([*rows, [1 / DEVIATION, 0]]), numpy.array([*values, USUAL / DEVIATION]), rcond=None
    )[0]
    slope = min(max(free[0], LEAST), LARGEST)
    if slope != free[0]:
        # with the slope held, the level that is left to fit
        held = numpy.array([[row[1]] for row in rows])
        rest = numpy.array([value - slope * row[0] for row, value in zip(rows, values)])
        return slope, numpy.linalg.lstsq(held, rest, rcond=None)[0][0]
    return slope, free[1]


draw = random.Random(1)
for _ in range(500):
    aim, read_to = draw.uniform(8, 60), draw.choice([0.25, 0.5, 1.0, 2.0])
    gauge, sag = draw.uniform(200, 2200), aim * draw.uniform(0.5, 2)
    readings = [(gauge, sag)]
    for _ in range(draw.randrange(6)):
        gauge *= draw.uniform(0.8, 1.25)
        sag *= draw.uniform(0.8, 1.25)
        readings.append((gauge, sag))
    slope, level = fit(readings, read_to)
    last = readings[-1][0] + ATMOSPHERE
    ratio = math.exp(level - slope * math.log(aim)) / last
    following = last * min(max(ratio, 1 / 1.35), 1.35) - ATMOSPHERE
    numbers = [aim, read_to, slope, following, *(number for reading in readings for number in reading)]
    print(*(repr(float(number)) for number in numbers))
