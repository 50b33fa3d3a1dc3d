#!/usr/bin/env python3
"""Limit deviations of ISO 286 from two packages made independently of this project, as a table for the tests.

The tests read the committed table, so that they need neither Python nor a network. Made anew, from the top of the project, by:

    python3 -m venv target/outside
    target/outside/bin/pip install -r crates/calc/tests/outside/requirements.txt
    target/outside/bin/python crates/calc/tests/outside/iso286.py > crates/calc/tests/outside/iso286.csv

isofits holds tables of classes for sizes over 3 up to 400 mm; pressfit holds standard tolerances and fundamental
deviations of shafts for sizes up to 500 mm, grades 5 to 11, and the hole H.
"""

from importlib.metadata import version

from data import hole_data, shaft_data
from isofits import isotol
from pressfit import fit

# Upper ends of the ranges of ISO 286, mm: at an end a size belongs to the range below it. And one size inside each.
ENDS = [3, 6, 10, 18, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500]
NOMINALS = sorted(
    ENDS + [(low + high) / 2 for low, high in zip([0, *ENDS], ENDS)]
)
SHAFT_LETTERS = ["d", "e", "f", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s"]
HOLE_LETTERS = [letter.upper() for letter in SHAFT_LETTERS]
GRADES = range(3, 12)


def from_isofits(nominal, name):
    """Upper and lower deviation, or nothing where the package has none."""
    body, table = ("hole", hole_data) if name[0].isupper() else ("shaft", shaft_data)
    if name not in table or not 3 < nominal <= 400:
        return None
    return isotol(body, nominal, name, "both")


def from_pressfit(nominal, name):
    """Upper and lower deviation, or nothing where the package has none."""
    try:
        if name.startswith("H"):
            found = fit(f"{name}/h6", nominal)
            return found.hole_es_um, found.hole_ei_um
        if name[0].isupper():
            return None
        found = fit(f"H7/{name}", nominal)
        return found.shaft_es_um, found.shaft_ei_um
    except (NotImplementedError, ValueError):
        return None


def cells(limits):
    return ["", ""] if limits is None else [f"{value:g}" for value in limits]


print("# Limit deviations of ISO 286 classes as two packages give them, micrometre; nominal mm; empty: not covered there.")
for package in ("isofits", "pressfit"):
    print(f"# Source: {package} {version(package)} (PyPI), computed by crates/calc/tests/outside/iso286.py")
print("nominal_mm,class,isofits_upper,isofits_lower,pressfit_upper,pressfit_lower")
for nominal in NOMINALS:
    for letter in SHAFT_LETTERS + HOLE_LETTERS:
        for grade in GRADES:
            name = f"{letter}{grade}"
            both = [from_isofits(nominal, name), from_pressfit(nominal, name)]
            if any(both):
                row = [f"{nominal:g}", name] + cells(both[0]) + cells(both[1])
                print(",".join(row))
