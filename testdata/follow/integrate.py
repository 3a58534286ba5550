#!/usr/bin/env python3
"""Integrate what `dayloom follow` printed and compare with `dayloom dli`.

    dayloom follow out/timetable.json --speed 3600 \\
        --from 2026-12-02T00:00 --until 2026-12-03T00:00 > followed.jsonl
    dayloom dli plan.yaml --date 2026-12-02 --format json > dli.json
    python3 integrate.py followed.jsonl dli.json

Each line's light is held until the port's next line; the day ends 24 h after the
first line. A channel's light is the mean of its ports. Then, for each coral,
DLI = sum over channels of (PPFD at full light) x (integral of light), in mol/m2/d.
Lines may be JSON or CSV (a name that ends in .csv). Ends with 1 when a coral
differs by more than 1 %.
"""
import csv
import json
import sys
from datetime import datetime, timedelta


def read(name):
    with open(name, newline="", encoding="utf-8") as f:
        return list(csv.DictReader(f)) if name.endswith(".csv") else [json.loads(line) for line in f]


def light_seconds(lines):
    """Seconds of full light of every channel over the day of the first line."""
    start = datetime.fromisoformat(lines[0]["at"])
    end = start + timedelta(days=1)
    ports, channels = {}, {}
    for x in lines:
        ports.setdefault((x["controller"], x["port"]), []).append(x)
    for steps in ports.values():
        times = [datetime.fromisoformat(x["at"]) for x in steps] + [end]
        held = sum(float(x["light_percent"]) / 100 * (min(b, end) - min(a, end)).total_seconds()
                   for x, a, b in zip(steps, times, times[1:]))
        channels.setdefault(steps[0]["channel"], []).append(held)
    return {name: sum(held) / len(held) for name, held in channels.items()}


def main(followed, dli):
    seconds = light_seconds(read(followed))
    worst = 0.0
    print(f"{'coral':<16}{'dli':>10}{'followed':>10}{'off by %':>10}")
    with open(dli, encoding="utf-8") as f:
        corals = json.load(f)["corals"]
    for c in corals:
        got = sum(c["ppfd_full_umol_m2_s"][name] * s for name, s in seconds.items()) * 1e-6
        off = 100 * (got / c["dli_mol_m2_d"] - 1)
        worst = max(worst, abs(off))
        print(f"{c['name']:<16}{c['dli_mol_m2_d']:>10.4f}{got:>10.4f}{off:>+10.3f}")
    print(f"greatest difference {worst:.3f} %")
    return 0 if corals and worst <= 1 else 1


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
