"""The words for units, by kind of figure.

Words only; the sizes of the units stand in `units.txt`. A word is a whole unit, looked up by
`unit_key`. Nothing else is accepted, so that a slip of the finger is asked about.
"""

from __future__ import annotations

# kind: {unit as in units.txt: ways of writing it}
UNIT_WORDS: dict[str, dict[str, str]] = {
    "length": {
        "millimeter": "mm|millimeter|millimeters|millimetre|millimetres",
        "centimeter": "cm|centimeter|centimeters|centimetre|centimetres",
        "meter": "m|meter|meters|metre|metres",
        "inch": 'in|inch|inches|ins|"',
        "foot": "ft|foot|feet|'",
    },
    "pressure": {
        "kilopascal": "kPa|kilopascal|kilopascals|kN/m2",
        "pascal": "Pa|pascal|pascals|N/m2",
        "hectopascal": "hPa|hectopascal|hectopascals",
        "megapascal": "MPa|megapascal|megapascals|N/mm2",
        "bar": "bar|bars",
        "millibar": "mbar|millibar|millibars",
        "pound_per_square_inch": "psi|lb/in2|lbs/in2|lbf/in2|lb/sq in|lbs/sq in|lbf/sq in"
        "|pounds per square inch",
        "kilogram_force_per_square_centimeter": "kgf/cm2|kg/cm2|kp/cm2",
        "standard_atmosphere": "atm|atmosphere|atmospheres",
        "torr": "torr",
        "inch_of_mercury": 'inHg|inch Hg|inches Hg|in of Hg|inches of Hg|inch of mercury|"Hg'
        "|inches of mercury|inches mercury",
        "millimeter_of_mercury": "mmHg|mm of Hg|mm of mercury|millimetres of mercury",
        "inch_of_water": 'inH2O|in of H2O|inches of water|inch of water|inches H2O|"H2O|inWC|"WC'
        '|inWG|"WG|inches water gauge|inches of water column',
        "millimeter_of_water": "mmH2O|mm of water|mmWC|mmWG|millimetres of water",
    },
    "temperature": {
        "degree_Celsius": "°C|C|degC|degreeC|degreesC|oC|C°|celsius|degree celsius"
        "|degrees celsius|degrees centigrade|centigrade|°|deg|degree|degrees",
        "degree_Fahrenheit": "°F|F|degF|degreeF|degreesF|oF|F°|fahrenheit|degree fahrenheit"
        "|degrees fahrenheit",
        "kelvin": "K|kelvin|kelvins|°K|degK",
    },
    "angle": {
        "degree": "°|deg|degs|degree|degrees",
        "radian": "rad|rads|radian|radians",
    },
    "flow": {
        "liter / minute": "L/min|lpm|litre/min|litres/min|liter/min|liters/min|ltr/min"
        "|litre per minute|litres per minute|liter per minute|liters per minute",
        "liter / second": "L/s|litre/s|litres/s|liters/s|litres per second|liters per second",
        "liter / hour": "L/h|L/hr|litres/h|liters/h|litres per hour|liters per hour|lph",
        "milliliter / minute": "mL/min|cc/min|cm3/min|millilitres per minute",
        "meter ** 3 / hour": "m3/h|m3/hr|cubic metres per hour|cubic meters per hour",
        "meter ** 3 / minute": "m3/min",
        "meter ** 3 / second": "m3/s",
        "us_gallon / minute": "US gal/min|US gpm|US gallons/min|US gallons per minute",
        "imperial_gallon / minute": "imp gal/min|imp gpm|UK gal/min|UK gpm|imperial gal/min"
        "|imperial gallons per minute",
        "foot ** 3 / minute": "ft3/min|cfm|cu ft/min|cubic feet per minute",
    },
    "torque": {
        "newton * meter": "N m|newton meter|newton meters|newton metre|newton metres",
        "newton * centimeter": "N cm",
        "newton * millimeter": "N mm",
        "pound_force * foot": "lbf ft|ft lbf|lb ft|ft lb|ft lbs|lbs ft|foot pound|foot pounds"
        "|pound foot|pound feet|pounds feet",
        "pound_force * inch": "lbf in|in lbf|lb in|in lb|in lbs|lbs in|inch pound|inch pounds"
        "|pound inch|pound inches",
        "kilogram_force * meter": "kgf m|kg m|m kg|kp m",
        "kilogram_force * centimeter": "kgf cm|kg cm|kp cm",
    },
    "force": {
        "newton": "N|newton|newtons",
        "kilonewton": "kN|kilonewton|kilonewtons",
        "pound_force": "lbf|pound force|pounds force",
        "kilogram_force": "kgf|kp|kilogram force",
    },
    "hardness": {"": "Shore A|Sh A|ShA|A|durometer A|Shore-A"},
    "count": {"": "off|pcs|pieces|piece"},
    "money": {},
}

# Words that are units of something never asked for; they only serve to name what was typed.
OTHER_WORDS: dict[str, str] = {
    "a mass": "kg|g|gram|grams|kilogram|kilograms|lb|lbs|pound|pounds|stone|stones|oz|ounces",
    "a time": "s|sec|second|seconds|min|minute|minutes|h|hour|hours|year|years|months",
    "a volume": "l|litre|litres|liter|liters|ml|cc|gal|gallon|gallons",
    "a flow in gallons without saying US or imperial": "gpm|gal/min|gallons/min|gallons per minute",
    "a power": "kW|W|hp|watt|watts",
    "a speed": "rpm|mph|km/h|kph",
    "a hardness on another scale": "IRHD|Shore D|Shore",
}
