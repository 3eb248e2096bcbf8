"""Prints closed_form_50_digits.csv: the plain string with 50 digits (mpmath), 25 of them printed.

    pip install mpmath
    python3 closed_form_50_digits.py > closed_form_50_digits.csv

T = 4 L^2 f1^2 mu - pi^2 E I/L^2, B = pi^2 E I/(T L^2), f8 = 8 f0 sqrt(1 + 64 B),
Z = sqrt(T mu), longitudinal (1/2L) sqrt(E/rho). Strings from A0 to C8, invented, one hexagonal.
"""

from mpmath import mp, mpf, pi, sqrt

mp.dps = 50
strings = [
    ("A0 bare core", "1500", "1.6", "", "7850", "202", "27.5"),
    ("E2", "1200", "1.15", "", "7850", "202", "82.41"),
    ("A2 hexagonal", "1000", "", "0.95", "7850", "202", "110"),
    ("C3", "1180", "1.1", "", "7850", "202", "130.81"),
    ("F3", "961", "1.05", "", "7800", "210", "174.61"),
    ("C4", "620", "1.0", "", "7850", "202", "261.63"),
    ("A4", "392", "0.975", "", "7850", "206", "440"),
    ("C5", "330", "0.95", "", "7833", "190", "523.25"),
    ("G5", "224", "0.925", "", "7850", "202", "783.99"),
    ("C6", "176", "0.875", "", "7861", "203.4", "1046.5"),
    ("C7", "95", "0.825", "", "7850", "202", "2093"),
    ("C8", "51", "0.775", "", "7850", "202", "4186.01"),
]

print("# Made by closed_form_50_digits.py, which says what the columns are.")
print("string,length_mm,round_mm,hex_mm,density,modulus_gpa,f1_hz,tension_n,b,f8_hz,impedance,longitudinal_hz")
for name, length, round_, hex_, density, modulus, f1 in strings:
    L, rho, E, f = mpf(length) / 1000, mpf(density), mpf(modulus) * 10**9, mpf(f1)
    if round_:
        d = mpf(round_) / 1000
        area, moment = pi * d**2 / 4, pi * d**4 / 64
    else:
        a = mpf(hex_) / 1000
        area, moment = sqrt(3) / 2 * a**2, 5 * sqrt(3) / 144 * a**4
    mu = rho * area
    T = 4 * L**2 * f**2 * mu - pi**2 * E * moment / L**2
    B = pi**2 * E * moment / (T * L**2)
    f8 = 8 / (2 * L) * sqrt(T / mu) * sqrt(1 + 64 * B)
    values = [T, B, f8, sqrt(T * mu), sqrt(E / rho) / (2 * L)]
    cells = [mp.nstr(v, 25, strip_zeros=False, min_fixed=-1, max_fixed=1) for v in values]
    print(",".join([name, length, round_, hex_, density, modulus, f1, *cells]))
