"""Unit factors of scipy.constants, to hold the table of package quantity against.

Run by hand: python3 scipy_units.py > scipy_units.txt
"""
import scipy
from scipy import constants as c

print(f"# scipy {scipy.__version__}, scipy.constants; text, SI value")
for text, value in [
    ("1 g", c.gram), ("1 lb", c.pound), ("1 oz", c.oz), ("1 gr", c.grain), ("1 slug", c.slug), ("1 t", c.metric_ton),
    ("1 in", c.inch), ("1 ft", c.foot), ("1 mi", c.mile), ("1 thou", c.mil), ("1 um", c.micron),
    ("1 min", c.minute), ("1 h", c.hour), ("1 mph", c.mph), ("1 km/h", c.kmh),
    ("1 lbf", c.lbf), ("1 kgf", c.kgf), ("1 lbf/in", c.lbf / c.inch), ("1 ozf in", c.lbf / 16 * c.inch),
    ("1 atm", c.atm), ("1 bar", c.bar), ("1 Torr", c.torr), ("1 psi", c.psi),
    ("1 hp", c.hp), ("1 Btu", c.Btu_IT), ("1 cal", c.calorie_IT), ("1 L", c.liter), ("1 in^3", c.inch**3),
    ("1 deg", c.degree), ("1 lb in^2", c.pound * c.inch**2), ("1 lb/in^3", c.pound / c.inch**3),
    ("1 degR", c.degree_Fahrenheit),
    ("20 degC", c.convert_temperature(20, "C", "K")), ("68 degF", c.convert_temperature(68, "F", "K")),
    ("-40 degF", c.convert_temperature(-40, "F", "K")),
]:
    print(f"{text}, {float(value)!r}")
