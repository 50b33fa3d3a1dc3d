#!/usr/bin/env python3
"""Probabilities of the normal and quantiles of Student's distribution from two packages made independently of this
project, as a table for the tests.

The tests read the committed table, so that they need neither Python nor a network. Made anew, from the top of the project, by:

    python3 -m venv target/outside
    target/outside/bin/pip install -r crates/calc/tests/outside/requirements.txt
    target/outside/bin/python crates/calc/tests/outside/special.py > crates/calc/tests/outside/special.csv

mpmath computes with 40 digits and stands for the truth; scipy, in the same precision as ours, shows what is usual.
"""

from importlib.metadata import version

import mpmath
from scipy import stats

mpmath.mp.dps = 40
HALVES = [k / 4 for k in range(-32, 33)]
PROBABILITIES = [0.5, 0.6827, 0.8, 0.9, 0.95, 0.9545, 0.99, 0.999]
DEGREES = [*range(1, 31), 35, 40, 50, 60, 80, 100, 150, 200, 300, 399, 400, 401, 500, 700, 1000, 10_000, 100_000]


def within(t, degrees):
    """Probability within plus and minus t, by the regularised incomplete beta function."""
    x = degrees / (degrees + t * t)
    return 1 - mpmath.betainc(degrees / mpmath.mpf(2), mpmath.mpf(1) / 2, 0, x, regularized=True)


def quantile(p, degrees):
    start = stats.t.ppf((1 + p) / 2, degrees)
    return mpmath.findroot(lambda t: within(t, degrees) - mpmath.mpf(p), mpmath.mpf(start))


def digits(value):
    return mpmath.nstr(value, 20, strip_zeros=False)


print("# Normal: probability up to z. Student: t that a value stays within with probability p, for so many degrees of freedom.")
for package in ("mpmath", "scipy"):
    print(f"# Source: {package} {version(package)} (PyPI), computed by crates/calc/tests/outside/special.py")
print("function,argument,degrees,mpmath,scipy")
for z in HALVES:
    print(f"normal,{z:g},,{digits(mpmath.ncdf(z))},{stats.norm.cdf(z):.17g}")
for degrees in DEGREES:
    for p in PROBABILITIES:
        print(f"student,{p:g},{degrees},{digits(quantile(p, degrees))},{stats.t.ppf((1 + p) / 2, degrees):.17g}")
