"""The volume of BenchmarkVolume240x60x38cmAt1cm12Channels40SamplesGlass in plain numpy.

240 x 60 x 38 places at 1 cm, twelve channels of forty samples, glass walls all
round: the same sums of the same rays, each read from a table over the distance
with np.interp, whole layers at a time. Images that cannot matter are left out
by the same bounds. Needs numpy only; prints the seconds it took and a checksum.

    python3 testdata/bench/volume_numpy.py
"""

import time

import numpy as np

LENGTH, WIDTH, INDEX = 2.4, 0.6, 1.34
X = 0.005 + 0.01 * np.arange(240)
Y = 0.005 + 0.01 * np.arange(60)
DEPTHS = 0.005 + 0.01 * np.arange(38)
KNOTS = 2000


def channels():
    """(flux, height, exponent, absorption, sample places, half-length of a sample)"""
    out = []
    for c in range(12):
        beam = np.radians([60, 90, 120][c % 3])
        m = np.log(0.5) / np.log(np.cos(beam / 2))
        if c % 2 == 0:
            along = 0.1 + 2.2 * (np.arange(20) + 0.5) / 20
            at, half = [(x, y) for y in (0.2, 0.4) for x in along], 0.055
        else:
            at, half = [(0.06 + 0.12 * (i % 20), 0.15 + 0.3 * (i // 20)) for i in range(40)], 0.0
        out.append((100 + 20 * c, 0.20 + 0.02 * (c % 6), m, 0.05 * (c + 1), at, half))
    return out


def table(h, d, m, a):
    """Distance, flux density per umol/s, share of the distance in air, sin(water)/distance."""
    # Even steps of the angle in air, up to the far corner of the tank.
    t = np.linspace(0, np.arctan(np.hypot(LENGTH, WIDTH) / h), KNOTS)
    sin, cos = np.sin(t), np.cos(t)
    sw = sin / INDEX
    cw = np.sqrt(1 - sw * sw)
    p = h / cos + d / (INDEX * cw)
    slope = h / cos**2 + d * cos / (INDEX * cw**3)
    s = 4 * cos * INDEX * cw / (cos + INDEX * cw) ** 2
    q = 4 * cos * INDEX * cw / (INDEX * cos + cw) ** 2
    light = (m + 1) / (2 * np.pi) * cos**m * (s + q) / 2 * np.exp(-a * d / cw) / (p * slope)
    return p * sin, light, h / (cos * p), 1 / (p * INDEX)


def inner(cos):
    """Reflectance of water against air."""
    out2 = 1 - INDEX**2 * (1 - cos * cos)
    total = out2 <= 0
    c = np.sqrt(np.where(total, 0, out2))
    s = 4 * INDEX * cos * c / (INDEX * cos + c) ** 2
    p = 4 * INDEX * cos * c / (cos + INDEX * c) ** 2
    return np.where(total, 1, 1 - (s + p) / 2)


def images(values, length, reach):
    """(cell, image of each value, which of them lie within reach) along one axis."""
    out = []
    for cell in range(-int(np.ceil(reach / length)), int(np.ceil(reach / length)) + 1):
        at = cell * length + values if cell % 2 == 0 else (cell + 1) * length - values
        near = np.nonzero((at > -reach) & (at < length + reach))[0]
        if near.size:
            out.append((cell, at, near))
    return out


def part(entry, half, length):
    """How much of a sample's light enters inside the rim."""
    if np.isscalar(half) or not half.any():
        return (entry >= 0) & (entry <= length)
    half = np.maximum(half, 1e-12)
    return np.clip((np.minimum(entry + half, length) - np.maximum(entry - half, 0)) / (2 * half), 0, 1)


def volume():
    out = np.zeros((12, DEPTHS.size, Y.size, X.size), dtype=np.float32)
    for c, (flux, h, m, a, samples, half) in enumerate(channels()):
        for k, d in enumerate(DEPTHS):
            distance, light, air, per_r = table(h, d, m, a)
            tan = np.hypot(LENGTH, WIDTH) / h
            reach = d * tan / np.sqrt(INDEX**2 + (INDEX**2 - 1) * tan**2) + half
            near = h / (h + d / INDEX)
            layer = np.zeros((Y.size, X.size))
            xs, ys = images(X, LENGTH, reach), images(Y, WIDTH, reach)
            for sx, sy in samples:
                for cy, iy, ny in ys:
                    ny = ny[(iy[ny] >= sy - sy / near) & (iy[ny] <= sy + (WIDTH - sy) / near)]
                    for cx, ix, nx in xs:
                        nx = nx[(ix[nx] >= sx - (sx + half) / near - half) & (ix[nx] <= sx + (LENGTH - sx + half) / near + half)]
                        if nx.size == 0 or ny.size == 0:
                            continue
                        dx, dy = ix[nx] - sx, (iy[ny] - sy)[:, None]
                        r = np.sqrt(dx * dx + dy * dy)
                        e = np.interp(r, distance, light)
                        if cx or cy:
                            f = np.interp(r, distance, air)
                            e *= part(sx + f * dx, half * (1 - f), LENGTH) * part(sy + f * dy, 0, WIDTH)
                            s = np.interp(r, distance, per_r)
                            if cx:
                                e *= inner(s * np.abs(dx)) ** abs(cx)
                            if cy:
                                e *= inner(s * np.abs(dy)) ** abs(cy)
                        layer[ny[0] : ny[-1] + 1, nx[0] : nx[-1] + 1] += e
            out[c, k] = flux / len(samples) * layer
    return out


if __name__ == "__main__":
    start = time.perf_counter()
    field = volume()
    print(f"numpy {np.__version__}: {time.perf_counter() - start:.1f} s, mean PPFD {field.sum(axis=0).mean(dtype=float):.3f} umol m-2 s-1")
