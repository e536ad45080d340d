"""Prints what pint makes of many amounts: a line `NUMBER UNIT NUMBER UNIT` for each, in the spellings of
the language."""

import pint

KINDS = [
    {"psi": "psi", "bar": "bar", "kPa": "kPa"},
    {"lb/in": "force_pound / inch", "N/mm": "N / mm"},
    {"kg": "kg", "lb": "lb"},
    {"C": "degC", "F": "degF"},
    {"m": "m", "ft": "ft"},
    {"s": "s", "min": "min", "h": "h"},
]
NUMBERS = ["-40", "-0.5", "0", "0.25", "1", "17.75", "32", "80", "137.5", "550", "4999.75", "12345.678901"]

units = pint.UnitRegistry()
for kind in KINDS:
    for here, source in kind.items():
        for there, aim in kind.items():
            for number in NUMBERS if here != there else []:
                found = units.Quantity(float(number), source).to(aim).magnitude
                print(number, here, repr(float(found)), there)
