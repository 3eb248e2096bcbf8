"""Prints restring_milp_scale.csv or restring_milp_cases.csv: wire sizes of 88 notes by integer programming.

    pip install numpy scipy
    python3 restring_milp.py scale > restring_milp_scale.csv
    python3 restring_milp.py cases > restring_milp_cases.csv

The scale is invented: 88 notes of plain wire in three sections, lengths and old sizes drawn from a stated seed.
Which size each note should get is put to a general solver (HiGHS, by scipy.optimize.milp) as an integer
programme over assignments x[note, size] and changes z[note, size below, size here]:

    one size a note; x and z flow into each other; a run that began within the last N - 1 notes still stands;
    all strings together pull at most a share of what the old ones pull (where a case says so)

    least sum of  even  w |y(i-1) - 2 y(i) + y(i+1)|  inside sections, y = 100 ln of T, B and Z of one string
                + steps w |y(i) - y(i-1) - slope|     across the two breaks
                + far   |100 ln T - 100 ln T_old|
                + a price for every change

A run has two notes or more, so that of two neighbouring steps at most one is a change and each term belongs to
one x or one z. Figures by the textbook: T = 4 L^2 f^2 mu - pi^2 E I/L^2, B = pi^2 E I/(T L^2), Z = sqrt(T mu),
E = 202 GPa, 7850 kg/m^3, equal temperament at 440 Hz, wire in halves of 0.001 in from 0.030 to 0.048 in. The
solver's own gap is set to zero; the objective printed is added up again from its choice.
"""

import math
import random
import sys

import numpy as np
import scipy.sparse as sparse
from scipy.optimize import Bounds, LinearConstraint, milp

NOTES = 88
THOUSANDTHS = list(range(30, 49))
SIZES = len(THOUSANDTHS)
BREAKS = (29, 62)  # index of the first note above each break
# name, fewest in a run, never thinner down, share of the old pull, even (T, B, Z), steps, far, size
CASES = [
    ("free", 3, True, None, (1.0, 0.5, 0.5), (4.0, 2.0, 2.0), 1.0, 1.0),
    ("pull 99", 3, True, 0.99, (1.0, 0.5, 0.5), (4.0, 2.0, 2.0), 1.0, 1.0),
    ("pull 97", 3, True, 0.97, (1.0, 0.5, 0.5), (4.0, 2.0, 2.0), 1.0, 1.0),
    ("pull 94", 2, True, 0.94, (1.0, 1.0, 1.0), (10.0, 10.0, 10.0), 0.5, 3.0),
    ("long runs", 6, True, 1.00, (0.5, 0.25, 0.25), (2.0, 1.0, 1.0), 2.0, 0.5),
    ("any order", 2, False, 0.985, (0.3, 0.1, 0.1), (6.0, 3.0, 3.0), 1.5, 0.2),
    ("few sizes", 4, True, 0.98, (0.2, 0.2, 0.2), (1.0, 1.0, 1.0), 1.0, 40.0),
]
SLOPES = {29: (-0.01, 0.06, -0.04), 62: (0.005, 0.09, -0.03)}


def scale():
    """Length in mm, strings and old size of every note, from the bass."""
    draws = random.Random(20261)
    length, lengths = 51.0, []
    for key in range(NOTES, 0, -1):
        lengths.append(round(length, 1))
        grows = 0.93 if key > 40 else 0.55
        length *= 2 ** (grows / 12) * draws.uniform(0.993, 1.007)
    lengths.reverse()
    strings = [1 if i < 12 else 2 if i < 29 else 3 for i in range(NOTES)]
    even = [(SIZES - 2) * (1 - i / NOTES) for i in range(NOTES)]
    old = [min(max(int(e) + draws.choice((-1, 0, 0, 0, 1)), 0), SIZES - 1) for e in even]
    return lengths, strings, old


def figures(lengths):
    tension, logs = np.zeros((NOTES, SIZES)), np.zeros((NOTES, SIZES, 3))
    for i, length in enumerate(lengths):
        f, metres = 440 * 2 ** ((i + 1 - 49) / 12), length / 1000
        for k, thousandths in enumerate(THOUSANDTHS):
            d = thousandths * 25.4e-6
            mass, bending = 7850 * math.pi / 4 * d**2, 202e9 * math.pi / 64 * d**4
            stiff = math.pi**2 * bending / metres**2
            t = 4 * metres**2 * f**2 * mass - stiff
            tension[i, k] = t
            logs[i, k] = 100 * np.log([t, stiff / t, math.sqrt(t * mass)])
    return tension, logs


class Programme:
    """Columns with costs, rows with bounds."""

    def __init__(self):
        self.cost, self.rows, self.low, self.high = [], [], [], []

    def column(self, cost):
        self.cost.append(cost)
        return len(self.cost) - 1

    def row(self, terms, low, high):
        self.rows.append(terms)
        self.low.append(low)
        self.high.append(high)

    def solve(self, integers):
        at = [(r, c, v) for r, terms in enumerate(self.rows) for c, v in terms.items()]
        r, c, v = zip(*at)
        matrix = sparse.csr_matrix((v, (r, c)), shape=(len(self.rows), len(self.cost)))
        integral = np.zeros(len(self.cost))
        integral[integers] = 1
        result = milp(
            self.cost,
            constraints=LinearConstraint(matrix, self.low, self.high),
            integrality=integral,
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0},
        )
        assert result.status == 0, result.message
        return result.x


def choose(case, lengths, strings, old):
    _, fewest, falling, share, even, steps, far, price = case
    tension, y = figures(lengths)
    even, steps = np.array(even), np.array(steps)
    slope = {i: 100 * np.array(s) for i, s in SLOPES.items()}
    distance = lambda i, k: far * abs(y[i, k, 0] - y[i, old[i], 0])
    step = lambda i, a, b: float((steps * abs(y[i, b] - y[i - 1, a] - slope[i])).sum())
    bend = lambda i, a, b, c: float((even * abs(y[i - 1, a] - 2 * y[i, b] + y[i + 1, c])).sum())
    inside = lambda i: 0 < i < NOTES - 1 and i not in BREAKS and i + 1 not in BREAKS

    programme = Programme()
    x = [[programme.column(distance(i, k)) for k in range(SIZES)] for i in range(NOTES)]
    pairs = [(a, b) for a in range(SIZES) for b in range(SIZES) if a != b and (a > b or not falling)]
    z = [None] + [{pair: programme.column(price) for pair in pairs} for _ in range(1, NOTES)]
    cost = programme.cost
    for i in range(NOTES):
        programme.row({x[i][k]: 1 for k in range(SIZES)}, 1, 1)
    for i in range(1, NOTES):
        for k in range(SIZES):
            flow = {x[i][k]: 1, x[i - 1][k]: -1}
            stands = {x[i][k]: -1}
            for a, b in pairs:
                if a == k:
                    flow[z[i][a, b]] = 1
                if b == k:
                    flow[z[i][a, b]] = -1
                    for begun in range(max(1, i - fewest + 1), i + 1):
                        stands[z[begun][a, b]] = 1
            programme.row(flow, 0, 0)
            programme.row(stands, -np.inf, 0)
        if i < fewest or i > NOTES - fewest:
            for change in z[i].values():
                programme.row({change: 1}, 0, 0)
    for i in range(1, NOTES):
        if i in BREAKS:
            for k in range(SIZES):
                cost[x[i][k]] += step(i, k, k)
            for a, b in pairs:
                # A change from a to b: x holds what staying at b would cost.
                cost[z[i][a, b]] += step(i, a, b) - step(i, b, b)
        elif inside(i):
            for k in range(SIZES):
                cost[x[i][k]] += bend(i, k, k, k)
            for a, b in pairs:
                cost[z[i][a, b]] += bend(i, a, b, b) - bend(i, b, b, b)
                cost[z[i + 1][a, b]] += bend(i, a, a, b) - bend(i, a, a, a)
    if share is not None:
        pull = sum(strings[i] * tension[i, old[i]] for i in range(NOTES))
        terms = {x[i][k]: strings[i] * tension[i, k] for i in range(NOTES) for k in range(SIZES)}
        programme.row(terms, -np.inf, share * pull)
    solved = programme.solve([c for row in x for c in row])
    choice = [max(range(SIZES), key=lambda k: solved[x[i][k]]) for i in range(NOTES)]

    # Added up again, from the choice alone.
    changes = sum(choice[i] != choice[i - 1] for i in range(1, NOTES))
    terms = [distance(i, k) for i, k in enumerate(choice)] + [price] * changes
    terms += [step(i, choice[i - 1], choice[i]) for i in BREAKS]
    terms += [bend(i, *choice[i - 1 : i + 2]) for i in range(NOTES) if inside(i)]
    pulled = sum(strings[i] * tension[i, k] for i, k in enumerate(choice))
    pull = sum(strings[i] * tension[i, old[i]] for i in range(NOTES))
    assert share is None or pulled <= share * pull * (1 + 1e-10)
    return choice, math.fsum(terms), pulled / pull


def main():
    lengths, strings, old = scale()
    if sys.argv[1:] == ["scale"]:
        print("key,length_mm,strings,old_in")
        for i in range(NOTES):
            print(f"{i + 1},{lengths[i]},{strings[i]},{THOUSANDTHS[old[i]] / 1000:.3f}")
    elif sys.argv[1:] == ["cases"]:
        even = ",".join(f"even_{q}" for q in "tbz")
        steps = ",".join(f"steps_{q}" for q in "tbz")
        print(f"case,fewest,falling,share,{even},{steps},far,size,pull_share,objective,choice_thousandths")
        for case in CASES:
            name, fewest, falling, share, even, steps, far, price = case
            choice, objective, pull = choose(case, lengths, strings, old)
            cells = [name, fewest, int(falling), "" if share is None else share, *even, *steps, far, price]
            sizes = " ".join(str(THOUSANDTHS[k]) for k in choice)
            print(",".join(map(str, cells)) + f",{pull:.12f},{objective:.12f},{sizes}", flush=True)
    else:
        sys.exit(__doc__)


if __name__ == "__main__":
    main()
