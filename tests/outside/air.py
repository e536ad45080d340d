"""Prints what CoolProp says of real air. First a line `Z VALUE`: its compressibility at 20 bar, 20 C. Then a line
`KILOPASCALS CELSIUS CELSIUS KILOPASCALS` for each change of temperature in a chamber that keeps its size: the
absolute pressure before, both temperatures, the pressure after."""

from CoolProp.CoolProp import PropsSI

ZERO = 273.15

print("Z", repr(PropsSI("Z", "P", 20e5, "T", 20 + ZERO, "Air")))
for bar in (2, 5, 10, 15, 20):
    for before in range(-10, 41, 5):
        density = PropsSI("D", "P", bar * 1e5, "T", before + ZERO, "Air")
        for after in range(-10, 41, 5):
            pressure = PropsSI("P", "D", density, "T", after + ZERO, "Air")
            print(bar * 100, before, after, repr(pressure / 1000))
