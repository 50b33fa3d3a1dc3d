#!/usr/bin/env python3
"""Weibull fits with censored lives and delayed entry, and their 95 % intervals by profile likelihood, from general
optimisers that know nothing of our equations, as a table for the tests.

The tests read the committed table, so that they need neither Python nor a network. Made anew, from the top of the project, by:

    python3 -m venv target/outside
    target/outside/bin/pip install -r crates/calc/tests/outside/requirements.txt
    target/outside/bin/python crates/calc/tests/outside/weibull.py > crates/calc/tests/outside/weibull.csv
"""

import math
import random
from importlib.metadata import version

from scipy import optimize, stats

DROP = stats.chi2.ppf(0.95, 1) / 2


def cases():
    nist = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386] + [500] * 10
    yield "NIST e-Handbook 8.4.1.3", nist, [1] * 10 + [0] * 10, [0] * 20
    balls = [17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.48, 51.84, 51.96, 54.12, 55.56, 67.8, 68.64, 68.64, 68.88,
             84.12, 93.12, 98.64, 105.12, 105.84, 127.92, 128.04, 173.4]
    yield "Lieblein and Zelen 1956", balls, [1] * 23, [0] * 23
    yield "three failures of five", [500, 700, 800, 900, 950], [1, 1, 1, 0, 0], [0] * 5
    dice = random.Random(5)
    for name, shape, count, late in (("delayed entry", 2.2, 25, 0.6), ("early failures", 0.7, 30, 0.3), ("all late", 3.0, 40, 1.0)):
        times, failed, entry = [], [], []
        while len(times) < count:
            life = 9000 * (-math.log(1 - dice.random())) ** (1 / shape)
            start = round(dice.uniform(0, 5000)) if dice.random() < late else 0
            end = start + round(dice.uniform(2000, 9000))
            if life <= start + 1:
                continue
            times.append(round(min(life, end), 1))
            failed.append(int(life < end))
            entry.append(start)
        yield name, times, failed, entry


def likelihood(times, failed, entry):
    def value(ln_shape, ln_scale):
        law = stats.weibull_min(math.exp(ln_shape), scale=math.exp(ln_scale))
        return sum((law.logpdf(t) if f else law.logsf(t)) - (law.logsf(e) if e else 0) for t, f, e in zip(times, failed, entry))
    return value


def best(function, start):
    found = optimize.minimize_scalar(lambda v: -function(v), bracket=(start, start + 0.1), tol=1e-12)
    return found.x, -found.fun


def main():
    print(f"# Source: scipy {version('scipy')} (PyPI), computed by crates/calc/tests/outside/weibull.py")
    print("name,times,failed,entry,shape,scale,log_likelihood,shape_low,shape_high,scale_low,scale_high,b10_low,b10_high")
    for name, times, failed, entry in cases():
        value = likelihood(times, failed, entry)
        start = [0.3, math.log(sum(times) / sum(failed))]
        for _ in range(4):
            found = optimize.minimize(lambda v: -value(*v), start, method="Nelder-Mead",
                                      options={"xatol": 1e-11, "fatol": 1e-13, "maxiter": 4000})
            start = found.x
        top = -found.fun
        ends = []
        ln_shape, ln_scale = found.x
        # Logarithm of B10 above that of the scale, at a shape.
        below = lambda w: math.log(-math.log(0.9)) / math.exp(w)
        for fitted, other, pair in ((ln_shape, ln_scale, lambda v, w: (v, w)), (ln_scale, ln_shape, lambda v, w: (w, v)),
                                    (ln_scale + below(ln_shape), ln_shape, lambda v, w: (w, v - below(w)))):
            def profile(v, other=other, pair=pair):
                return best(lambda w: value(*pair(v, w)), other)[1] - (top - DROP)
            for side in (-1, 1):
                step = 0.05
                while profile(fitted + side * step) > 0:
                    step *= 1.5
                end = optimize.brentq(lambda s: profile(fitted + side * s), 0, step, xtol=1e-11)
                ends.append(math.exp(fitted + side * end))
        lists = [" ".join(map(str, values)) for values in (times, failed, entry)]
        numbers = [math.exp(found.x[0]), math.exp(found.x[1]), top, *ends]
        print(",".join([name, *lists, *(f"{number:.10g}" for number in numbers)]))


main()
