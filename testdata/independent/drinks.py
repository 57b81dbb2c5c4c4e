#!/usr/bin/env python3
"""A second reckoning of what the core reckons about drinks, in another language and with other methods.

For 200 random drinks it reckons anew, from the tables in testdata/reference alone:

  density   the strength by mass of a strength by volume at 20 °C, by inverting the formula of OIML R 22 (scipy's brentq;
            the core bisects)
  chill     how much ice melts and how cold it gets, by the balance of energy (brentq; the core bisects)
  adjust    the smallest change of one part or two, by whole steps, that brings figures into ranges: all changes of so many
            steps at once, as arrays; the core walks and stops at the first

The answers are frozen in drinks.json beside this file, and a test of journal/balance holds the core against them.

  drinks.py --write    writes drinks.json
  drinks.py            reckons again and compares with drinks.json: to 1e-9 of a figure, changes exactly
"""
import csv
import itertools
import json
import os
import sys

import numpy as np
from scipy.optimize import brentq

SEED = 20261125
DRINKS = 200
HERE = os.path.dirname(os.path.abspath(__file__))
FROZEN = os.path.join(HERE, "drinks.json")


def table(name):
    with open(os.path.join(HERE, "..", "reference", name), newline="", encoding="utf-8") as f:
        return list(csv.DictReader(f))


# OIML R 22: every term is a value times a power of the mass fraction and a power of the degrees above 20.
TERMS = [
    (float(r["value"]), int(r["power_of_mass_fraction"] or 0), int(r["power_of_t_minus_20"] or 0))
    for r in table("ethanol_density_coefficients.csv")
]


def density(p, t=20.0):
    """kg/m³ of a mixture with a mass fraction p of ethanol."""
    return sum(v * np.power(p, i) * (t - 20.0) ** k for v, i, k in TERMS)


PURE, WATER = 789.24, 998.20  # kg/m³ at 20 °C, the rounded constants that drinks are reckoned with
PURE_BY_FORMULA = float(density(1.0))


def by_mass(q):
    """The mass fraction of a strength by volume at 20 °C."""
    if q <= 0 or q >= 1:
        return min(max(q, 0.0), 1.0)
    return brentq(lambda p: p * density(p) - q * PURE_BY_FORMULA, 0.0, 1.0, xtol=1e-15, rtol=1e-14)


def steps_of(rows, x, y):
    """A table as straight lines, the last one going on for ever."""
    xs = np.array([float(r[x]) for r in rows])
    ys = np.array([float(r[y]) for r in rows])

    def at(v):
        v = np.asarray(v, dtype=float)
        beyond = ys[-1] + (ys[-1] - ys[-2]) / (xs[-1] - xs[-2]) * (v - xs[-1])
        return np.where(v > xs[-1], beyond, np.interp(v, xs, ys))

    return at


THERMAL = table("ethanol_thermal.csv")
capacity_of = steps_of(THERMAL, "mass_pct_ethanol", "cp_mean_J_per_gK")
mixing_of = steps_of(THERMAL, "mass_pct_ethanol", "heat_of_mixing_0C_J_per_g")
cold_ethanol = steps_of(
    [r for r in table("freezing_ethanol.csv") if r["use_in_model"] == "yes"], "g_ethanol_per_100g_water", "freezing_point_C"
)
# The table of sucrose is used up to where its freezing points end.
cold_sucrose = steps_of(
    [r for r in table("sucrose_brix_density.csv") if r["freezing_point_C"] != ""], "g_sucrose_per_100g_water", "freezing_point_C"
)


def masses(ml, q, sugar, acid):
    """Grams of ethanol, water, sugar and acid in a liquid; sugar and acid in g/L."""
    s, c = ml * sugar / 1000, ml * acid / 1000
    liquid = ml - 0.623 * s - 0.597 * c
    if q <= 0:
        return np.array([0.0, WATER / 1000 * liquid, s, c])
    e = PURE / 1000 * ml * q
    return np.array([e, e / by_mass(ml * q / liquid) - e, s, c])


def chill(m, ml, vessel, ice, cooled, stop):
    """Melt in g and end in °C of grams m at 20 °C over ice of 0 °C; stop: taken off at that, None for never."""
    e, w, s, c = m
    percent = lambda water: 100 * e / (e + water)
    heat_capacity = (e + w) * capacity_of(percent(w)) + 1.24 * (s + c) + vessel

    def end(melt):
        if stop is not None:
            return stop
        per = 100 / (w + melt)
        return float(cold_ethanol(e * per) + cold_sucrose(s * per) - 0.102 * c * per)

    def left_over(melt):
        t = end(melt)
        heat = heat_capacity * (20 - t) + 2.1 * cooled * max(ice - melt, 0.0) * -t
        heat += (e + w + melt) * mixing_of(percent(w + melt)) - (e + w) * mixing_of(percent(w))
        return float(heat - melt * (333.6 + 4.19 * t))

    melt = brentq(left_over, 0.0, 5 * (e + w + s) + vessel, xtol=1e-12, rtol=1e-14)
    return melt, end(melt)


def ratio(method, ml, percent, sugar, acid):
    """Water for one ml of what meets the ice."""
    bp = np.floor(percent * 100 + 0.5)
    if method == "neat":
        return 0.0
    if bp > 4500:
        raise ValueError("no drink here starts above 45 % vol")
    a = percent / 100
    if bp >= 1500:
        return -1.21 * a * a + 1.246 * a + 0.145 if method == "stirred" else -1.567 * a * a + 1.742 * a + 0.203
    m = masses(100.0, a, sugar, acid)
    if method == "shaken":
        melt, _ = chill(m, 100.0, 120.0, 150.0, 1.0, None)
    else:
        melt, at = chill(m, 100.0, 100.0, 0.0, 0.0, None)
        if at < -3:
            melt, _ = chill(m, 100.0, 100.0, 0.0, 0.0, -3.0)
    return melt / (WATER / 1000) / 100


KEYS = {"strength": (0, 1), "sugar": (1, 1), "acid": (2, 2)}  # which content, and how many decimals are shown


def finished(method, parts, volumes):
    """% vol, g of sugar and g of acid in 100 ml of the finished glass."""
    ml = volumes.sum()
    ethanol, sugar, acid = (volumes @ parts)[:3]
    water = ratio(method, ml, 100 * ethanol / ml, 1000 * sugar / ml, 1000 * acid / ml) * ml
    return 100 * np.array([ethanol, sugar, acid]) / (ml + water)


class Knife(Exception):
    """A figure so near to the edge of its rounding that the last bit decides: such a drink proves nothing."""


def met(method, parts, volumes, want):
    out = finished(method, parts, volumes)
    good = True
    for key, (low, high) in want.items():
        i, decimals = KEYS[key]
        scaled = out[i] * 10**decimals
        if abs(scaled - np.floor(scaled) - 0.5) < 1e-6:
            raise Knife
        shown = np.floor(scaled + 0.5) / 10**decimals
        good = good and low <= shown <= high
    return good


def smallest(method, parts, volumes, want, step, more):
    """All smallest changes: of the fewest steps those of the fewest parts, each as [[part, steps], ...]."""
    if met(method, parts, volumes, want):
        return [[]]
    n = len(volumes)
    for steps in range(1, 25):
        for size in (1, 2):
            found = []
            for who in itertools.combinations(range(n), size):
                for signs in itertools.product((-1, 1), repeat=size):
                    for first in [steps] if size == 1 else range(1, steps):
                        change = [signs[0] * first] + ([signs[1] * (steps - first)] if size == 2 else [])
                        to = volumes.copy()
                        for i, k in zip(who, change):
                            to[i] += k * step
                        if any(to[i] < step - 1e-9 for i in who):
                            continue
                        if not more and (to - volumes) @ parts[:, 0] > 1e-9:
                            continue
                        if met(method, parts, to, want):
                            found.append([[int(i), int(k)] for i, k in zip(who, change)])
            if found:
                return found
    return []


def one(r):
    """A drink, with what is reckoned of it."""
    bp = int(r.integers(1, 9800))
    out = {"density": {"abv_bp": bp, "mass_fraction": by_mass(bp / 1e4)}}
    p = out["density"]["mass_fraction"]
    out["density"]["kg_per_m3"] = float(density(p))

    # One spirit, one sweet and one sour thing, as of a bar.
    kinds = [
        (int(r.integers(12, 25)) * 2500, int(r.integers(360, 451)) * 10, int(r.integers(0, 20)) * 1000, 0),
        (int(r.integers(2, 13)) * 2500, 0, int(r.integers(300, 760)) * 1000, 0),
        (int(r.integers(2, 13)) * 2500, 0, int(r.integers(10, 30)) * 1000, int(r.integers(20, 65)) * 1000),
        (int(r.integers(2, 9)) * 2500, int(r.integers(110, 300)) * 10, int(r.integers(20, 320)) * 1000, int(r.integers(0, 6)) * 1000),
    ][: int(r.integers(2, 5))]
    total = sum(masses(v / 1000, s / 1e4, g / 1000, a / 1000) for v, s, g, a in kinds)
    ml = sum(k[0] for k in kinds) / 1000
    vessel, ice = float(r.integers(0, 15) * 10), float(r.integers(0, 30) * 10)
    cooled = float(r.integers(0, 11)) / 10
    stop = -float(r.integers(0, 40)) / 10 if r.random() < 0.3 else None
    melt, end = chill(total, ml, vessel, ice, cooled, stop)
    all_in = total[0] + total[1] + melt
    whole = all_in / float(density(total[0] / all_in)) * 1000 + 0.623 * total[2] + 0.597 * total[3]
    out["parts"] = [list(k) for k in kinds]
    out["chill"] = {"vessel": vessel, "ice": ice, "cooled": cooled, "stop": stop, "melt_g": melt, "end_c": end, "ml": whole}

    method = ["shaken", "stirred", "neat"][int(r.integers(0, 3))]
    volumes = np.array([k[0] / 1000 for k in kinds])
    parts = np.array([[k[1] / 1e4, k[2] / 1e6, k[3] / 1e6] for k in kinds])
    is_now = finished(method, parts, volumes)
    want = {}
    for key in [["sugar"], ["sugar", "acid"], ["strength"], ["strength", "sugar"]][int(r.integers(0, 4))]:
        i, decimals = KEYS[key]
        middle = is_now[i] * r.uniform(0.75, 1.25)
        half = max(middle * r.uniform(0.01, 0.06), 0.5 * 10**-decimals)
        want[key] = [round(float(max(middle - half, 0)), decimals), round(float(middle + half), decimals)]
    more = bool(r.random() < 0.4)
    found = smallest(method, parts, volumes, want, 2.5, more)
    out["adjust"] = {"method": method, "step_ul": 2500, "want": want, "more_alcohol": more, "smallest": found}
    return out


def reckon():
    r = np.random.Generator(np.random.PCG64(SEED))
    drinks, edges = [], 0
    while len(drinks) < DRINKS:
        try:
            drinks.append(one(r))
        except Knife:
            edges += 1
    return {"seed": SEED, "on_the_edge": edges, "drinks": drinks}


def differ(a, b, where=""):
    """The places where two reckonings differ."""
    if isinstance(a, float) and isinstance(b, (int, float)):
        return [] if abs(a - b) <= 1e-9 * max(1.0, abs(a)) else [where]
    if type(a) is not type(b):
        return [where]
    if isinstance(a, dict):
        if a.keys() != b.keys():
            return [where]
        return [w for k in a for w in differ(a[k], b[k], f"{where}.{k}")]
    if isinstance(a, list):
        if len(a) != len(b):
            return [where]
        return [w for i, (x, y) in enumerate(zip(a, b)) for w in differ(x, y, f"{where}[{i}]")]
    return [] if a == b else [where]


def main():
    now = reckon()
    if sys.argv[1:] == ["--write"]:
        with open(FROZEN, "w", encoding="utf-8") as f:
            f.write('{"seed": %d, "on_the_edge": %d, "drinks": [\n' % (now["seed"], now["on_the_edge"]))
            f.write(",\n".join(json.dumps(d) for d in now["drinks"]) + "\n]}\n")
        return 0
    with open(FROZEN, encoding="utf-8") as f:
        wrong = differ(now, json.load(f))
    for where in wrong[:20]:
        print(f"drinks.py: another result at {where}", file=sys.stderr)
    found = sum(1 for d in now["drinks"] if d["adjust"]["smallest"])
    print(f"drinks.py: {DRINKS} drinks, {found} with a change that does it, {len(wrong)} differences from drinks.json")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
