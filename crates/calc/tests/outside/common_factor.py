#!/usr/bin/env python3
"""How often any level of a factor stands out by chance: every table with the same sums counted one by one in fractions,
as a table for the tests. Slow on purpose: it knows nothing of our way of counting.

The tests read the committed table, so that they need no Python. Made anew, from the top of the project, by:

    python3 crates/calc/tests/outside/common_factor.py > crates/calc/tests/outside/common_factor.csv
"""

from fractions import Fraction
from math import comb, factorial

CASES = [
    ("seen", [3, 1], [4, 4]),
    ("seen", [5, 1, 0], [10, 12, 9]),
    ("seen", [4, 0, 1, 2], [6, 14, 9, 20]),
    ("seen", [1, 1, 1, 1, 1], [9, 3, 7, 5, 2]),
    ("seen", [7, 2, 1], [8, 30, 25]),
    ("seen", [2, 2, 8, 0], [20, 21, 19, 1]),
    ("seen", [9, 9], [10, 40]),
    ("running", [6, 1, 1], [3000, 4200, 5100]),
    ("running", [2, 2], [100, 900]),
    ("running", [0, 5, 1, 0], [8000, 2500, 7000, 4000]),
    ("running", [3, 3, 3], [1, 1, 1]),
    ("running", [9, 2, 1], [1200, 6000, 5000]),
]


def tables(found, limits):
    if len(limits) == 1:
        if found <= limits[0]:
            yield (found,)
        return
    for first in range(min(found, limits[0]) + 1):
        for rest in tables(found - first, limits[1:]):
            yield (first, *rest)


def main():
    print("# Source: every table counted in exact fractions by crates/calc/tests/outside/common_factor.py")
    print("kind,found,exposure,level,p_level,p_factor")
    for kind, found, exposure in CASES:
        total, whole = sum(found), sum(exposure)
        limits = exposure if kind == "seen" else [total] * len(found)
        chances = {}
        for table in tables(total, limits):
            chance = Fraction(1, comb(whole, total)) if kind == "seen" else Fraction(factorial(total))
            for k, n in zip(table, exposure):
                chance *= comb(n, k) if kind == "seen" else Fraction(n, whole) ** k / factorial(k)
            chances[table] = chance
        assert sum(chances.values()) == 1
        tail = [[sum(c for table, c in chances.items() if table[i] >= k) for k in range(total + 1)] for i in range(len(found))]
        own = [tail[i][k] for i, k in enumerate(found)]
        least = min(own)
        factor = sum(c for table, c in chances.items() if min(tail[i][k] for i, k in enumerate(table)) <= least)
        columns = [kind, " ".join(map(str, found)), " ".join(map(str, exposure)), own.index(least), f"{float(least):.15g}", f"{float(factor):.15g}"]
        print(",".join(map(str, columns)))


main()
