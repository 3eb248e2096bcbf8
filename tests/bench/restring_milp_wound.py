"""Prints restring_milp_wound_scale.csv or restring_milp_wound_cases.csv: 88 notes, 29 of them wound.

    pip install numpy scipy
    python3 restring_milp_wound.py scale > restring_milp_wound_scale.csv
    python3 restring_milp_wound.py cases > restring_milp_wound_cases.csv

The invented scale of restring_milp.py, its lowest section wound with copper from end to end: each of those
notes has twelve strings to choose from, four cores by three windings (steps of 0.05 mm) about a drawn tension.
The plain notes above choose among the 19 wires of that script, under its rules of runs and order; wound strings
are made singly and know neither. Which string each note gets is put to a general solver (HiGHS, by
scipy.optimize.milp): binary x[note, string]; pairs of neighbouring wound strings and triples of them as flows
that agree with each other, which carry the bends; the step across the break on its pairs; plain runs as there;
all strings together pull at most a share of what the old ones do.

Figures by the textbook for a uniform string between pinned ends: mu = 7850 pi/4 d^2 + 8900 (pi^2/4) t (d + t),
T = 4 L^2 f^2 mu - pi^2 E I/L^2, B = pi^2 E I/(T L^2), Z = sqrt(T mu), E = 202 GPa. The solver's own gap is set
to zero; the objective printed is added up again from its choice.
"""

import math
import random
import sys

import numpy as np
import scipy.sparse as sparse
from scipy.optimize import Bounds, LinearConstraint, milp

import restring_milp as plain

NOTES, BREAK = plain.NOTES, plain.BREAKS[0]
CORES = [40, 42, 44, 46]  # thousandths of an inch
WINDINGS = [5 * n for n in range(4, 41)]  # hundredths of a millimetre
CASES = [
    ("free", 3, True, None, (1.0, 0.5, 0.5), (4.0, 2.0, 2.0), 1.0, 1.0),
    ("pull 98", 3, True, 0.98, (1.0, 0.5, 0.5), (4.0, 2.0, 2.0), 1.0, 1.0),
    ("pull 96", 2, True, 0.96, (1.0, 0.3, 0.3), (6.0, 3.0, 1.0), 0.3, 1.0),
]


def wound_figures(length, f, core, winding):
    d, t, metres = core * 25.4e-6, winding * 1e-5, length / 1000
    mass = 7850 * math.pi / 4 * d**2 + 8900 * math.pi**2 / 4 * t * (d + t)
    stiff = math.pi**2 * 202e9 * math.pi / 64 * d**4 / metres**2
    tension = 4 * metres**2 * f**2 * mass - stiff
    return tension, [100 * math.log(v) for v in (tension, stiff / tension, math.sqrt(tension * mass))]


def scale():
    """Length, strings, old string and strings to choose from of every note, from the bass."""
    lengths, strings, old = plain.scale()
    draws = random.Random(20262)
    options = []
    for i in range(NOTES):
        if i >= BREAK:
            options.append([(k, None) for k in plain.THOUSANDTHS])
            continue
        f = 440 * 2 ** ((i + 1 - 49) / 12)
        wanted = (930 - 5 * i) * draws.uniform(0.97, 1.03)
        here = []
        for core in CORES:
            off = lambda w: abs(wound_figures(lengths[i], f, core, w)[0] - wanted)
            here += [(core, w) for w in sorted(sorted(WINDINGS, key=off)[:3])]
        options.append(here)
        old[i] = draws.randrange(len(here))
    return lengths, strings, old, options


def figures(lengths, options):
    tension, logs = [], []
    for i, here in enumerate(options):
        f = 440 * 2 ** ((i + 1 - 49) / 12)
        both = [wound_figures(lengths[i], f, core, winding or 0) for core, winding in here]
        tension.append([one[0] for one in both])
        logs.append(np.array([one[1] for one in both]))
    return tension, logs


def choose(case, lengths, strings, old, options):
    _, fewest, falling, share, even, steps, far, price = case
    tension, y = figures(lengths, options)
    even, steps = np.array(even), np.array(steps)
    slope = {i: 100 * np.array(s) for i, s in plain.SLOPES.items()}
    distance = lambda i, k: far * abs(y[i][k, 0] - y[i][old[i], 0])
    step = lambda i, a, b: float((steps * abs(y[i][b] - y[i - 1][a] - slope[i])).sum())
    bend = lambda i, a, b, c: float((even * abs(y[i - 1][a] - 2 * y[i][b] + y[i + 1][c])).sum())
    inside = lambda i: 0 < i < NOTES - 1 and i not in plain.BREAKS and i + 1 not in plain.BREAKS

    programme = plain.Programme()
    column, row, cost = programme.column, programme.row, programme.cost
    x = [[column(distance(i, k)) for k in range(len(options[i]))] for i in range(NOTES)]
    for i in range(NOTES):
        row({c: 1 for c in x[i]}, 1, 1)

    # Wound: pairs agree with strings, triples with pairs.
    pair = {}
    for i in range(1, BREAK + 1):
        low, high = range(len(options[i - 1])), range(len(options[i]))
        across = i == BREAK
        pair[i] = {(a, b): column(step(i, a, b) if across else 0) for a in low for b in high}
        for a in low:
            row({**{pair[i][a, b]: 1 for b in high}, x[i - 1][a]: -1}, 0, 0)
        for b in high:
            row({**{pair[i][a, b]: 1 for a in low}, x[i][b]: -1}, 0, 0)
    for i in range(1, BREAK - 1):
        low, mid, high = (range(len(options[j])) for j in (i - 1, i, i + 1))
        triple = {(a, b, c): column(bend(i, a, b, c)) for a in low for b in mid for c in high}
        for a in low:
            for b in mid:
                row({**{triple[a, b, c]: 1 for c in high}, pair[i][a, b]: -1}, 0, 0)
        for b in mid:
            for c in high:
                row({**{triple[a, b, c]: 1 for a in low}, pair[i + 1][b, c]: -1}, 0, 0)

    # Plain: as in the script beside this one, from the break on.
    sizes = range(plain.SIZES)
    pairs = [(a, b) for a in sizes for b in sizes if a != b and (a > b or not falling)]
    z = {i: {pair: column(price) for pair in pairs} for i in range(BREAK + 1, NOTES)}
    for i in range(BREAK + 1, NOTES):
        for k in sizes:
            flow, stands = {x[i][k]: 1, x[i - 1][k]: -1}, {x[i][k]: -1}
            for a, b in pairs:
                if a == k:
                    flow[z[i][a, b]] = 1
                if b == k:
                    flow[z[i][a, b]] = -1
                    for begun in range(max(BREAK + 1, i - fewest + 1), i + 1):
                        stands[z[begun][a, b]] = 1
            row(flow, 0, 0)
            row(stands, -np.inf, 0)
        if i - BREAK < fewest or i > NOTES - fewest:
            for change in z[i].values():
                row({change: 1}, 0, 0)
    for i in range(BREAK + 1, NOTES):
        if i in plain.BREAKS:
            for k in sizes:
                cost[x[i][k]] += step(i, k, k)
            for a, b in pairs:
                cost[z[i][a, b]] += step(i, a, b) - step(i, b, b)
        elif inside(i):
            for k in sizes:
                cost[x[i][k]] += bend(i, k, k, k)
            for a, b in pairs:
                cost[z[i][a, b]] += bend(i, a, b, b) - bend(i, b, b, b)
                cost[z[i + 1][a, b]] += bend(i, a, a, b) - bend(i, a, a, a)
    pull = sum(strings[i] * tension[i][old[i]] for i in range(NOTES))
    if share is not None:
        terms = {c: strings[i] * tension[i][k] for i in range(NOTES) for k, c in enumerate(x[i])}
        row(terms, -np.inf, share * pull)
    solved = programme.solve([c for here in x for c in here] + [c for here in z.values() for c in here.values()])
    choice = [max(range(len(here)), key=lambda k: solved[here[k]]) for here in x]

    # Added up again, from the choice alone.
    changes = sum(choice[i] != choice[i - 1] for i in range(BREAK + 1, NOTES))
    terms = [distance(i, k) for i, k in enumerate(choice)] + [price] * changes
    terms += [step(i, choice[i - 1], choice[i]) for i in plain.BREAKS]
    terms += [bend(i, *choice[i - 1 : i + 2]) for i in range(NOTES) if inside(i)]
    pulled = sum(strings[i] * tension[i][k] for i, k in enumerate(choice))
    assert share is None or pulled <= share * pull * (1 + 1e-10)
    return choice, math.fsum(terms), pulled / pull


def name(option):
    core, winding = option
    return str(core) if winding is None else f"{core}+{winding}"


def main():
    lengths, strings, old, options = scale()
    if sys.argv[1:] == ["scale"]:
        print("key,length_mm,strings,old,options")
        for i in range(NOTES):
            here = " ".join(map(name, options[i]))
            print(f"{i + 1},{lengths[i]},{strings[i]},{name(options[i][old[i]])},{here}")
    elif sys.argv[1:] == ["cases"]:
        even = ",".join(f"even_{q}" for q in "tbz")
        steps = ",".join(f"steps_{q}" for q in "tbz")
        print(f"case,fewest,falling,share,{even},{steps},far,size,pull_share,objective,choice")
        for case in CASES:
            named, fewest, falling, share, even, steps, far, price = case
            choice, objective, pull = choose(case, lengths, strings, old, options)
            cells = [named, fewest, int(falling), "" if share is None else share, *even, *steps, far, price]
            strung = " ".join(name(options[i][k]) for i, k in enumerate(choice))
            print(",".join(map(str, cells)) + f",{pull:.12f},{objective:.12f},{strung}", flush=True)
    else:
        sys.exit(__doc__)


if __name__ == "__main__":
    main()
