#!/usr/bin/env python3
"""Tuning by ear and its beats in 50 digits, from given inharmonicities: an independent reckoning.

Needs mpmath. Prints tuning_50_digits.csv:
    python3 tuning_50_digits.py > tuning_50_digits.csv

The piano is made up: B of MIDI note m is exp(0.0944 m - 13.68) + exp(-0.085 m - 6.2), to five digits;
its first term is the treble asymptote of F. Rigaud, B. David, L. Daudet, J. Acoust. Soc. Am. 133 (2013)
3107, its second makes the bass rise as basses do. Partials are f_n = n f1 sqrt((1 + B n^2)/(1 + B))
whatever the pitch.

Rules: A4 = 440 Hz; A3-A4 a clean octave in twelve equal steps; every other note an octave from one that
stands. An octave is clean when partial n of the lower note meets partial m of the higher: 6:3 up to
lower key 20, 4:2 from key 32 to key 45, 2:1 from key 57; between, the mean of both widths in cents,
weighted by how far the key is along.

Columns: note, B, stretch (cents above equal temperament), f1 (Hz), and the beats a second of third
5:4, fifth 3:2, sixth 5:3, octaves 2:1, 4:2, 6:3 and tenth 5:2 above the note: f_m(high) - f_n(low).
The beats are reckoned from B and f1 as printed here, so that they can be checked by themselves.
"""

from mpmath import mp, mpf, exp, log, sqrt

mp.dps = 50
NAMES = ["A", "A#", "B", "C", "C#", "D", "D#", "E", "F", "F#", "G", "G#"]


def name(key):
    return f"{NAMES[(key - 1) % 12]}{(key + 8) // 12}"


def inharmonicity(key):
    m = key + 20
    b = exp(mpf("0.0944") * m - mpf("13.68")) + exp(mpf("-0.085") * m - mpf("6.2"))
    return mpf(mp.nstr(b, 5))


B = {key: inharmonicity(key) for key in range(1, 89)}


def ratio(key, n):
    return n * sqrt((1 + B[key] * n * n) / (1 + B[key]))


def clean(low, n, m):
    return 1200 * log(ratio(low, n) / ratio(low + 12, m), 2)


def octave(low):
    if low <= 20:
        return clean(low, 6, 3)
    if low < 32:
        along = mpf(low - 20) / 12
        return (1 - along) * clean(low, 6, 3) + along * clean(low, 4, 2)
    if low <= 45:
        return clean(low, 4, 2)
    if low < 57:
        along = mpf(low - 45) / 12
        return (1 - along) * clean(low, 4, 2) + along * clean(low, 2, 1)
    return clean(low, 2, 1)


cents = {49: mpf(0)}  # from A4
for key in range(37, 49):
    cents[key] = -octave(37) * (49 - key) / 12
for key in range(50, 89):
    cents[key] = cents[key - 12] + octave(key - 12)
for key in range(36, 0, -1):
    cents[key] = cents[key + 12] - octave(key)

digits = lambda value: mp.nstr(value, 22, strip_zeros=False, min_fixed=-6, max_fixed=6)
f1 = {key: mpf(digits(440 * mpf(2) ** (cents[key] / 1200))) for key in cents}


def beats(low, span, n, m):
    high = low + span
    if high > 88:
        return ""
    return digits(f1[high] * ratio(high, m) - f1[low] * ratio(low, n))


INTERVALS = [(4, 5, 4), (7, 3, 2), (9, 5, 3), (12, 2, 1), (12, 4, 2), (12, 6, 3), (16, 5, 2)]
print("# Made by tuning_50_digits.py, which says what the columns are.")
print("note,b,stretch,f1_hz,third,fifth,sixth,octave_21,octave_42,octave_63,tenth")
for key in range(1, 89):
    row = [name(key), mp.nstr(B[key], 5), digits(cents[key] - 100 * (key - 49)), digits(f1[key])]
    print(",".join(row + [beats(key, *interval) for interval in INTERVALS]))
