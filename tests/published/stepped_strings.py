"""Prints stepped_strings_elements.csv and stepped_strings_digits.csv: wound strings with bare ends.

    pip install numpy scipy mpmath
    python3 stepped_strings.py elements > stepped_strings_elements.csv
    python3 stepped_strings.py digits > stepped_strings_digits.csv

elements: Hermite finite elements (scipy, shift and invert), 800 of them, at a given tension: the first
eight frequencies, and B by numpy's least squares of (f/n)^2 = f0^2 (1 + B n^2) over them.
digits: the determinant of the conditions at ends and steps for the general solution on each piece, with
40 digits (mpmath): the tension at which the first mode is f1, then modes 2, 4, 8 and 16; brackets from
the finite elements, so that no mode is taken for another.
Mass by geometry: touching round wire, rho (pi/4) t times its perimeter pi (d + 2 u + t), u the wires below;
steel and copper in kg/m^3 and E in GPa with each string. Invented strings in the sizes of pianos.
"""

import sys

import numpy as np
from mpmath import mp, mpf
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import eigsh

# name, length, core, E, steel, ends, f1, layers (wire, density, bare front, bare back); mm
STRINGS = [
    ("A0 3 %", 1200, 1.40, 202, 7850, "pinned", 27.5, [(1.80, 8930, 36, 36)]),
    ("C1 2.7 %", 1100, 1.30, 202, 7850, "pinned", 32.703, [(1.55, 8930, 30, 29)]),
    ("E1 5 % and 3 %", 1000, 1.20, 202, 7850, "pinned", 41.203, [(1.25, 8900, 50, 30)]),
    ("G1 5 %", 950, 1.10, 206, 7850, "pinned", 48.999, [(1.00, 8960, 47.5, 47.5)]),
    ("B1 iron 4 %", 900, 1.05, 202, 7850, "pinned", 61.735, [(0.80, 7866, 36, 36)]),
    ("D2 2.7 % and 5 %", 850, 1.00, 202, 7850, "pinned", 73.416, [(0.60, 8930, 23, 42.5)]),
    ("F2 light 5 %", 800, 0.95, 202, 7850, "pinned", 87.307, [(0.30, 8930, 40, 40)]),
    ("A0 two layers", 1300, 1.50, 202, 7850, "pinned", 27.5, [(0.60, 8930, 36, 40), (1.30, 8930, 52, 65)]),
    ("C1 clamped", 1100, 1.30, 202, 7850, "clamped", 32.703, [(1.55, 8930, 30, 45)]),
]


def pieces(string):
    _, length, core, _, steel, _, _, layers = string
    cuts = sorted({0.0, float(length), *(l[2] for l in layers), *(length - l[3] for l in layers)})
    result = []
    for start, end in zip(cuts, cuts[1:]):
        middle, below = (start + end) / 2, mpf(0)
        mass = steel * mp.pi / 4 * mpf(str(core)) ** 2
        for wire, density, front, back in layers:
            if front < middle < length - back:
                t = mpf(str(wire))
                mass += density * mp.pi**2 / 4 * t * (mpf(str(core)) + 2 * below + t)
                below += t
        result.append((mpf(end - start) / 1000, mass / 10**6))
    return result


def bending(string):
    return mpf(string[3]) * 10**9 * mp.pi / 64 * (mpf(str(string[2])) / 1000) ** 4


def elements(string, tension, count=16, about=800):
    """Frequencies by Hermite elements, equal ones on each piece."""
    stiffness, parts = float(bending(string)), pieces(string)
    total = float(sum(p[0] for p in parts))
    sizes = []
    for length, mass in parts:
        n = max(12, round(about * float(length) / total))
        sizes += [(float(length) / n, float(mass))] * n
    dofs = 2 * (len(sizes) + 1)
    rows, columns, k, m = [], [], [], []
    for i, (h, mass) in enumerate(sizes):
        b = stiffness / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                         [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
        g = tension / (30 * h) * np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                                           [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
        q = mass * h / 420 * np.array([[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
                                       [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]])
        for r in range(4):
            for c in range(4):
                rows.append(2 * i + r)
                columns.append(2 * i + c)
                k.append(b[r, c] + g[r, c])
                m.append(q[r, c])
    held = {0, dofs - 2} | ({1, dofs - 1} if string[5] == "clamped" else set())
    free = [i for i in range(dofs) if i not in held]
    K = csc_matrix((k, (rows, columns)), shape=(dofs, dofs))[free][:, free]
    M = csc_matrix((m, (rows, columns)), shape=(dofs, dofs))[free][:, free]
    values = eigsh(K, k=count, M=M, sigma=0, which="LM", return_eigenvectors=False)
    return np.sqrt(np.sort(values)) / (2 * np.pi)


def determinant(string, tension, frequency):
    """Of the conditions at ends (two each) and steps (four each), scaled."""
    EI, parts = bending(string), pieces(string)
    n = len(parts)
    A = mp.matrix(4 * n, 4 * n)

    def shape(i, x):
        length, mass = parts[i]
        p, s = tension / EI, mass * (2 * mp.pi * frequency) ** 2 / EI
        q2 = (p + mp.sqrt(p * p + 4 * s)) / 2
        q, k = mp.sqrt(q2), mp.sqrt(s / q2)
        c, d, e, g = mp.cos(k * x), mp.sin(k * x), mp.exp(-q * x), mp.exp(-q * (length - x))
        w = mp.sqrt(tension / EI)
        return [[c, d, e, g], [-k * d / w, k * c / w, -q * e / w, q * g / w],
                [-k * k * c / w**2, -k * k * d / w**2, q2 * e / w**2, q2 * g / w**2],
                [k**3 * d / w**3, -(k**3) * c / w**3, -(q**3) * e / w**3, q**3 * g / w**3]]

    ends = (0, 1) if string[5] == "clamped" else (0, 2)
    row = 0
    for order in ends:
        for j, value in enumerate(shape(0, 0)[order]):
            A[row, j] = value
        row += 1
    for i in range(n - 1):
        left, right = shape(i, parts[i][0]), shape(i + 1, 0)
        for order in range(4):
            for j in range(4):
                A[row, 4 * i + j] = left[order][j]
                A[row, 4 * i + 4 + j] = -right[order][j]
            row += 1
    for order in ends:
        for j, value in enumerate(shape(n - 1, parts[n - 1][0])[order]):
            A[row, 4 * (n - 1) + j] = value
        row += 1
    return mp.det(A)


def root(function, guess, share):
    return mp.findroot(function, (guess * (1 - mpf(share)), guess * (1 + mpf(share))), solver="ridder", tol=1e-40, verify=False)


def layer_cells(layers):
    cells = []
    for i in range(2):
        cells += [str(v) for v in layers[i]] if i < len(layers) else ["", "", "", ""]
    return cells


def tension_near(string):
    heavy = max(p[1] for p in pieces(string))
    length = mpf(string[1]) / 1000
    low, high = mpf(1), 4 * length**2 * mpf(string[6]) ** 2 * heavy
    for _ in range(60):
        middle = (low + high) / 2
        if elements(string, float(middle), 1, 400)[0] < string[6]:
            low = middle
        else:
            high = middle
        if high - low < 1e-5 * high:
            break
    return (low + high) / 2


mp.dps = 40
LAYERS = "wire1_mm,metal1,front1_mm,back1_mm,wire2_mm,metal2,front2_mm,back2_mm"
print("# Made by stepped_strings.py, which says how.")
if sys.argv[1] == "elements":
    print("string,length_mm,core_mm,modulus_gpa,steel,ends," + LAYERS + ",tension_n,f1,f2,f3,f4,f5,f6,f7,f8,b_1_to_8")
else:
    print("string,length_mm,core_mm,modulus_gpa,steel,ends," + LAYERS + ",f1_hz,tension_n,f2,f4,f8,f16")
for string in STRINGS:
    name, length, core, modulus, steel, ends, f1, layers = string
    head = [name, str(length), str(core), str(modulus), str(steel), ends, *layer_cells(layers)]
    near = tension_near(string)
    if sys.argv[1] == "elements":
        tension = round(float(near), 1)
        f = elements(string, tension, 8)
        n = np.arange(1, 9)
        slope, intercept = np.polyfit(n**2, (f / n) ** 2, 1)
        print(",".join([*head, f"{tension}", *(f"{v:.5f}" for v in f), f"{slope / intercept:.5e}"]))
    else:
        tension = root(lambda T: determinant(string, T, mpf(str(f1))), near, 1e-4)
        f = elements(string, float(tension), 16)
        modes = [root(lambda x: determinant(string, tension, x), mpf(float(f[i - 1])), 1e-5) for i in (2, 4, 8, 16)]
        print(",".join([*head, str(f1), *(mp.nstr(v, 20) for v in (tension, *modes))]))
    sys.stdout.flush()
