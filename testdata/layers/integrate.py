"""The daily light of the plan beside this file on some dates, worked out apart from dayloom's code.

Prints date,coral,dli_mol_m2_d. Facts of the plan are written out again below; the length of day is the
sunrise equation with the sun's upper limb on a sea horizon (zenith 90.833 deg) and its declination by the
low-precision series of the Astronomical Almanac (0.01 deg). The light of a lamp goes by Snell's law, found by
bisection, the energy in a ray tube by differences, Fresnel's two polarisations and the water's absorption; the
refractive indices of sea water are the values of Quan and Fry 1995 at 35 g/kg and 25 degC, by 450 and 650 nm.
The walls are dark. Python 3, no packages:

    python3 testdata/layers/integrate.py > testdata/layers/expected.csv
"""
import datetime as dt
import math

CORALS = {"newcomer": (0.40, 0.25, 0.15), "elder": (0.80, 0.25, 0.15)}
DATES = ["2026-12-13", "2027-02-20", "2027-03-03", "2027-03-25", "2027-04-04", "2027-04-28", "2027-06-15", "2027-06-16", "2027-07-02", "2027-07-11", "2027-10-20"]
PARKED = ("2027-06-16", 0.35, 2)  # the rack's x, m, for so many hours, in which all lamps are at their height
day = dt.date.fromisoformat

RACK = (0.05, 0.25)  # x and height, m
ABSORBED = 0.5  # 1/m


def crossing(h, d, r, n):
    """Sine of the angle in air of the ray from height h to depth d, r aside."""
    lo, hi = 0.0, 1.0 - 1e-15
    for _ in range(200):
        s = (lo + hi) / 2
        if h * s / math.sqrt(1 - s * s) + d * s / math.sqrt(n * n - s * s) < r:
            lo = s
        else:
            hi = s
    return (lo + hi) / 2


def point(flux, beam, x, y, h, place, n):
    """umol/m2/s at a place under a lamp of a cosine-power beam that shines straight down."""
    px, py, d = place
    r = max(math.hypot(px - x, py - y), 1e-4)
    s = crossing(h, d, r, n)
    air, water = math.asin(s), math.asin(s / n)
    e = 1e-5 * r
    rate = (math.asin(crossing(h, d, r + e, n)) - math.asin(crossing(h, d, r - e, n))) / (2 * e)  # of the angle with r
    m = math.log(0.5) / math.log(math.cos(math.radians(beam / 2)))
    intensity = flux * (m + 1) / (2 * math.pi) * math.cos(air) ** m
    rs = (math.cos(air) - n * math.cos(water)) / (math.cos(air) + n * math.cos(water))
    rp = (n * math.cos(air) - math.cos(water)) / (n * math.cos(air) + math.cos(water))
    through = 1 - (rs * rs + rp * rp) / 2
    return intensity * through * math.exp(-ABSORBED * d / math.cos(water)) * s * rate / r


def full(place, rack_x):
    """Bar and tubes at full output with the rack at an x."""
    x, h = rack_x, RACK[1]
    bar = point(65, 90, x + 0.20, 0.25, h, place, 1.3453) + point(65, 60, x + 0.65, 0.30, h + 0.02, place, 1.3453)
    k = 600
    tubes = sum(point(60 / k, 120, x + 0.90 * (i + 0.5) / k, 0.20, h + 0.05, place, 1.33712) for i in range(k))
    return bar, tubes


FULL = {name: full(at, RACK[0]) for name, at in CORALS.items()}
ASIDE = {name: full(at, PARKED[1]) for name, at in CORALS.items()}


def length(date):
    """Hours of sun at 40 N."""
    n = (date - dt.date(2000, 1, 1)).days  # from noon to noon
    g = math.radians(357.528 + 0.9856003 * n)
    lam = math.radians(280.460 + 0.9856474 * n + 1.915 * math.sin(g) + 0.020 * math.sin(2 * g))
    decl = math.asin(math.sin(math.radians(23.439 - 4e-7 * n)) * math.sin(lam))
    phi = math.radians(40)
    h = (math.cos(math.radians(90.833)) - math.sin(phi) * math.sin(decl)) / (math.cos(phi) * math.cos(decl))
    return math.degrees(math.acos(h)) * 2 / 15


MEAN = {}


def stretch(date):
    """What the season adds to the lit day, h."""
    if date.year not in MEAN:
        first = dt.date(date.year, 1, 1)
        days = (dt.date(date.year + 1, 1, 1) - first).days
        MEAN[date.year] = sum(length(first + dt.timedelta(i)) for i in range(days)) / days
    return 0.4 * (length(date) - MEAN[date.year])


def rule(date):
    return 0.8 if date.weekday() == 6 else 1.0


INSTALLED, RELAMPED = day("2026-09-01"), day("2027-07-01")


def hours(start, date):
    """What the tubes burned from a start to the day before a date."""
    return sum((5 + stretch(start + dt.timedelta(i))) * rule(start + dt.timedelta(i)) for i in range((date - start).days))


def left(h):
    return 1 - 0.2 * min(h, 4000) / 4000


def age(date):
    return left(hours(RELAMPED if date >= RELAMPED else INSTALLED, date))


def held(date):
    """How far the new tubes are held back: even steps of at most 3 % a week, the first at once."""
    scale, on = left(hours(INSTALLED, RELAMPED)), RELAMPED
    if date < on:
        return 1.0
    while scale < 1 and on <= date:  # in July days grow shorter, so all of the step is the lamps'
        n = math.ceil(math.log(1 / scale) / math.log(1.03) - 1e-9)
        scale = 1.0 if n <= 1 else scale ** (1 - 1 / n)
        on += dt.timedelta(7)
    return scale


# held 5 days from 20 March, one step back on 2 April; the second hold is undone
STEPS = [("2027-03-03", 0), ("2027-03-10", 1), ("2027-03-17", 2), ("2027-03-29", 3), ("2027-04-02", 2), ("2027-04-09", 3),
         ("2027-04-16", 4), ("2027-04-23", 5), ("2027-04-30", 6), ("2027-05-07", 7), ("2027-05-14", 8)]


def dli(coral, date, scale):
    bar, tubes = FULL[coral]
    st = stretch(date)
    new = age(date) * held(date)
    hours = bar * 0.6 * (9 + st) + tubes * (5 + st) * new
    if date == day(PARKED[0]):
        hours += PARKED[2] * ((ASIDE[coral][0] - bar) * 0.6 + (ASIDE[coral][1] - tubes) * new)
    return 3600e-6 * scale * hours


def step(date):
    k = None
    for on, n in STEPS:
        if date >= day(on):
            k = n
    if k is None or k == 8:
        return 1.0
    return (3 / dli("newcomer", day("2027-03-03"), 1.0)) ** (1 - k / 8)


print("# By integrate.py, apart from dayloom.")
print("date,coral,dli_mol_m2_d")
for text in DATES:
    date = day(text)
    for coral in FULL:
        print(f"{text},{coral},{dli(coral, date, rule(date) * step(date)):.4f}")
