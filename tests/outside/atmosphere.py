"""Prints the pressure of the standard atmosphere that ambiance gives: a line `METRES PASCALS` for each
geometric height."""

import ambiance

for height in range(-500, 11001, 50):
    print(height, repr(float(ambiance.Atmosphere(height).pressure[0])))
