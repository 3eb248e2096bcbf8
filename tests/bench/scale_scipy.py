"""The strings of the example upright with SciPy: the rival of `tests/bench/scale.rs`.

    pip install numpy scipy
    python3 tests/bench/scale_scipy.py

The same work by the usual means: for every note the tension at which the first mode is the pitch (brentq),
modes 1 to 8 of the wound ones by Hermite elements (200 of them; eigsh, shift and invert), B by least
squares, and the +- by central differences over length, core, over and bare ends. Notes that were not read
are taken between their neighbours. Prints the time of one scale with its +-, and of one draw of the whole
scale (no differences), of which 10 000 would be asked; processor time, whatever else the machine does.
"""

import csv
import math
import time
from pathlib import Path

import numpy as np
from scipy.optimize import brentq
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import eigsh

E, STEEL, COPPER, ELEMENTS = 202e9, 7850.0, 8930.0, 200
NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]


def key(name):
    return 12 * int(name[-1]) + NAMES.index(name[:-1]) - 8


def notes():
    path = Path(__file__).parents[2] / "examples" / "upright" / "strings.csv"
    rows = {key(row["note"]): row for row in csv.DictReader(path.open())}

    def read(row, name):
        return float(row[name]) / 1e3 if row.get(name) else None

    known = {k: read(row, "length_mm") for k, row in rows.items() if row["length_mm"]}
    places = sorted(known)
    for k in range(1, 89):
        row = rows.get(k) or rows[min(rows, key=lambda other: abs(other - k))]
        length = math.exp(np.interp(k, places, [math.log(known[p]) for p in places]))
        over = read(row, "over_mm")
        ends = [read(row, name) or 0.02 for name in ("bare_front_mm", "bare_back_mm")]
        core = read(row, "core_mm") or 0.85e-3
        yield 440 * 2 ** ((k - 49) / 12), [length, core, over, *ends], read(row, "under_mm")


def pieces(string, under):
    length, core, over, front, back = string
    bare = STEEL * math.pi / 4 * core**2
    wires = [(over - core) / 2] if under is None else [(under - core) / 2, (over - under) / 2]
    mass, below = bare, 0.0
    for t in wires:
        mass += COPPER * math.pi**2 / 4 * t * (core + 2 * below + t)
        below += t
    return [(front, bare), (length - front - back, mass), (back, bare)]


def matrices(string, under):
    """Bending and tension's stiffness for 1 N, and mass, of a wound string."""
    bending = E * math.pi / 64 * string[1] ** 4
    sizes = []
    for length, mass in pieces(string, under):
        n = max(8, round(ELEMENTS * length / string[0]))
        sizes += [(length / n, mass)] * n
    h, mass = (np.array(part)[:, None, None] for part in zip(*sizes))
    one = np.ones_like(h)

    def block(cells):
        return np.concatenate([np.concatenate([cell * one for cell in row], axis=2) for row in cells], axis=1)

    b = bending / h**3 * block([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
    g = 1 / (30 * h) * block([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                              [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
    m = mass * h / 420 * block([[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
                                [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]])
    count = len(sizes)
    place = 2 * np.arange(count)[:, None] + np.arange(4)
    rows, columns = np.repeat(place, 4, axis=1).ravel(), np.tile(place, (1, 4)).ravel()
    size = 2 * (count + 1)
    free = np.setdiff1d(np.arange(size), [0, size - 2])
    return [csc_matrix((x.ravel(), (rows, columns)), shape=(size, size))[free][:, free] for x in (b, g, m)]


def wound(pitch, string, under):
    b, g, m = matrices(string, under)
    start = np.ones(b.shape[0])

    def modes(tension, count):
        values = eigsh(b + tension * g, k=count, M=m, sigma=0, which="LM", v0=start, return_eigenvectors=False)
        return np.sqrt(np.sort(values)) / (2 * math.pi)

    guess = 4 * string[0] ** 2 * pitch**2 * pieces(string, under)[1][1]
    tension = brentq(lambda t: modes(t, 1)[0] - pitch, 0.8 * guess, 1.1 * guess, rtol=1e-10)
    f, n = modes(tension, 8), np.arange(1, 9)
    slope, intercept = np.polyfit(n**2, (f / n) ** 2, 1)
    return tension, slope / intercept


def plain(pitch, string):
    length, core = string[:2]
    stiff = math.pi**2 * E * math.pi / 64 * core**4 / length**2
    tension = 4 * length**2 * pitch**2 * STEEL * math.pi / 4 * core**2 - stiff
    return tension, stiff / tension


def solve(pitch, string, under):
    return plain(pitch, string) if string[2] is None else wound(pitch, string, under)


def with_doubt(pitch, string, under):
    """T, B and their relative +-."""
    here = solve(pitch, string, under)
    square = np.zeros(2)
    errors = [0.2e-3 + 1e-3 * string[0], 5e-6, 30e-6, 0.2e-3, 0.2e-3]
    for i, error in enumerate(errors):
        if string[i] is None or (string[2] is None and i > 1):
            continue
        ends = []
        for step in (0.1, -0.1):
            moved = list(string)
            moved[i] += step * error
            ends.append(np.log(solve(pitch, moved, under)))
        square += ((ends[0] - ends[1]) / 0.2) ** 2
    return here, np.sqrt(square)


scale = list(notes())
start = time.process_time()
for pitch, string, under in scale:
    with_doubt(pitch, string, under)
whole = time.process_time() - start
start = time.process_time()
for pitch, string, under in scale:
    solve(pitch, string, under)
draw = time.process_time() - start
wound_count = sum(string[2] is not None for _, string, _ in scale)
tension, b = solve(*scale[0])
print(f"A0: {tension:.1f} N, B {b:.3e}")
print(f"{len(scale)} notes, {wound_count} wound: one scale with its +- {whole:.2f} s")
print(f"one draw of the scale {draw:.2f} s, 10 000 of them {draw * 1e4 / 3600:.1f} h")
