"""Prints hex_cores.csv: hexagonal cores by the corners of a polygon, and strings wound on them by finite
elements.

    pip install numpy scipy
    python3 hex_cores.py > hex_cores.csv

Area and second moment by the sums over the corners of a polygon (Green's theorem). The winding's wire runs
on a line at half its diameter from what it rests on: taut it follows the hexagon (here the length of the
hull of small circles about the corners), round it is a circle about the corners; one turn to a wire's
diameter. The mass is the mean of both, its half spread half their distance. Frequencies by Hermite
elements (scipy, shift and invert), 800 of them, at a given tension between pinned ends, B by numpy's least
squares of (f/n)^2 = f0^2 (1 + B n^2) over the first eight. Steel 7850 kg/m^3. Invented strings.
"""

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import eigsh
from scipy.spatial import ConvexHull

STEEL = 7850.0
# name, length mm, across flats mm, E GPa, wire mm, density, bare front and back mm, tension N
STRINGS = [
    ("A0", 1200, 1.35, 202, 1.90, 8930, 20, 22, 640),
    ("C1", 1150, 1.25, 202, 1.55, 8930, 18, 25, 700),
    ("F1", 1080, 1.15, 206, 1.10, 8960, 30, 15, 720),
    ("C2", 1000, 1.00, 202, 0.70, 8900, 16, 16, 650),
    ("F2 iron", 940, 1.00, 202, 0.45, 7866, 14, 20, 600),
    ("A2 short", 420, 0.90, 202, 0.60, 8930, 12, 14, 480),
]


def corners(flats):
    angle = np.arange(6) * np.pi / 3
    return flats / np.sqrt(3) * np.stack([np.cos(angle), np.sin(angle)], axis=1)


def section(flats):
    x, y = corners(flats).T
    x1, y1 = np.roll(x, -1), np.roll(y, -1)
    cross = x * y1 - x1 * y
    return cross.sum() / 2, (cross * (y * y + y * y1 + y1 * y1)).sum() / 12


def winding(flats, wire, density):
    """kg/m, mean and half spread."""
    angle = np.linspace(0, 2 * np.pi, 20000, endpoint=False)
    circle = wire / 2 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    hull = ConvexHull(np.concatenate([corner + circle for corner in corners(flats)]))
    taut = hull.area  # of a hull in the plane: its perimeter
    round_ = 2 * np.pi * (flats / np.sqrt(3) + wire / 2)
    mass = density * np.pi / 4 * wire**2 * np.array([taut, round_]) / wire * 1e-6
    return mass.mean(), abs(mass[1] - mass[0]) / 2


def elements(pieces, stiffness, tension, about=800):
    total = sum(p[0] for p in pieces)
    sizes = []
    for length, mass in pieces:
        n = max(12, round(about * length / total))
        sizes += [(length / n, mass)] * n
    size = 2 * (len(sizes) + 1)
    rows, columns, k, m = [], [], [], []
    for i, (h, mass) in enumerate(sizes):
        b = stiffness / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                         [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
        g = tension / (30 * h) * np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                                           [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
        q = mass * h / 420 * np.array([[156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
                                       [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h]])
        place = np.arange(2 * i, 2 * i + 4)
        rows += list(np.repeat(place, 4))
        columns += list(np.tile(place, 4))
        k += list((b + g).ravel())
        m += list(q.ravel())
    free = [i for i in range(size) if i not in (0, size - 2)]
    K = csc_matrix((k, (rows, columns)), shape=(size, size))[free][:, free]
    M = csc_matrix((m, (rows, columns)), shape=(size, size))[free][:, free]
    values = eigsh(K, k=8, M=M, sigma=0, which="LM", return_eigenvectors=False)
    return np.sqrt(np.sort(values)) / (2 * np.pi)


print("# Made by hex_cores.py, which says how.")
print("string,length_mm,flats_mm,modulus_gpa,wire_mm,metal,front_mm,back_mm,tension_n,"
      "area_mm2,second_moment_mm4,winding_g_m,half_spread_g_m,f1,f4,f8,b_1_to_8")
for name, length, flats, modulus, wire, metal, front, back, tension in STRINGS:
    area, moment = section(flats)
    mean, half = winding(flats, wire, metal)
    bare = STEEL * area * 1e-6
    pieces = [(front / 1e3, bare), ((length - front - back) / 1e3, bare + mean), (back / 1e3, bare)]
    f = elements(pieces, modulus * 1e9 * moment * 1e-12, tension)
    n = np.arange(1, 9)
    slope, intercept = np.polyfit(n**2, (f / n) ** 2, 1)
    print(f"{name},{length},{flats},{modulus},{wire},{metal},{front},{back},{tension},{area:.9f},{moment:.9f},"
          f"{1e3 * mean:.5f},{1e3 * half:.5f},{f[0]:.5f},{f[3]:.5f},{f[7]:.5f},{slope / intercept:.5e}")
