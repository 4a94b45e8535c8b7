"""Waters that stand in no table, through the batch command and the reference solver.

    python3 against.py COMMAND...      # default: the crate's example `batch`, release build
    python3 against.py --rows 2000 --seed 5 COMMAND...

COMMAND reads a table on standard input and writes it with results on standard output; the word
`states`, `gas` or `mix` is appended to it. Prints the worst deviation of each column, and both
rates: rows per second of the command end to end (start of the process included) and of the
reference solver, with their ratio. Exits 1 when a tolerance is not met.
"""
import argparse
import csv
import pathlib
import random
import subprocess
import sys
import tempfile
import time

from solver import CO2, MASS, Solver, mg_l

KINDS = {  # ranges of alkalinity meq/L and ions mg/L: soft to hard, salty, dosed, softened
    "soft": ((0.1, 1.2), (3, 30), (0.5, 8), (0.6, 4), (1, 60), (0, 8)),
    "mid": ((1.0, 3.0), (20, 70), (2, 15), (0.6, 6), (2, 60), (0, 15)),
    "hard": ((3.0, 6.0), (60, 130), (8, 32), (0.6, 6), (5, 80), (0, 20)),
    "sulfate": ((0.5, 3.0), (30, 90), (10, 40), (1, 10), (50, 250), (0, 15)),
    "softened": ((2.0, 5.0), (1, 5), (0.5, 2), (0.3, 3), (5, 60), (0, 15)),
    "dosed": ((0.3, 2.0), (10, 40), (3, 12), (15, 50), (10, 60), (5, 45)),
    "blackwater": ((0.1, 0.5), (2, 12), (0.5, 3), (0.2, 2), (0.5, 3), (0, 3)),
}
COLUMN = {"Ca": "ca_mg_l", "Mg": "mg_mg_l", "Na": "na_mg_l", "K": "k_mg_l", "Cl": "cl_mg_l",
          "SO4": "so4_mg_l", "NO3": "no3_mg_l", "PO4": "po4_mg_l", "SiO2": "sio2_mg_l",
          "B": "b_mg_l"}
CHARGE = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "Cl": -1, "SO4": -2, "NO3": -1, "PO4": -1}


def water(rng, minor):
    alk, ca, mg, k, so4, no3 = (rng.uniform(*r) for r in KINDS[rng.choice(list(KINDS))])
    ions = {"Ca": ca, "Mg": mg, "Na": rng.uniform(0.5, 25), "K": k, "Cl": rng.uniform(0.5, 10),
            "SO4": so4, "NO3": no3, "PO4": 0.0, "SiO2": 0.0, "B": 0.0}
    if minor:
        ions |= {"PO4": rng.uniform(0, 5), "SiO2": rng.uniform(0, 30), "B": rng.uniform(0, 1)}
    gap = sum(CHARGE[i] * ions[i] / MASS[i] for i in CHARGE) - alk
    ions["Cl" if gap > 0 else "Na"] += abs(gap) * MASS["Cl" if gap > 0 else "Na"]
    return round(alk, 6), {ion: round(v, 5) for ion, v in ions.items()}


def run(command, word, table):
    """Rows with results, and the seconds from starting the command to its end."""
    with tempfile.TemporaryDirectory() as folder:
        given, found = pathlib.Path(folder, "in.csv"), pathlib.Path(folder, "out.csv")
        with given.open("w", newline="") as file:
            writer = csv.DictWriter(file, table[0])
            writer.writeheader()
            writer.writerows(table)
        start = time.perf_counter()
        with given.open("rb") as into, found.open("wb") as out:
            subprocess.run([*command, word], stdin=into, stdout=out, stderr=subprocess.DEVNULL,
                           check=False)  # 2 when a row has a problem
        seconds = time.perf_counter() - start
        with found.open(newline="") as file:
            return list(csv.DictReader(file)), seconds


class Worst:
    def __init__(self):
        self.worst, self.out = {}, False

    def see(self, name, got, expected, relative=None, absolute=None):
        gap = abs(float(got) - expected) / (abs(expected) if relative else 1)
        self.worst[name] = (max(self.worst.get(name, (0, 0))[0], gap), relative or absolute)
        self.out |= not gap <= (relative or absolute)

    def tell(self):
        for name, (gap, allowed) in self.worst.items():
            print(f"  {name:32} worst {gap:.2e} allowed {allowed:.0e}")
        return self.out


def cells(alk, ions, t, prefix=""):
    return {f"{prefix}temperature_c": t, f"{prefix}alkalinity_meq_l": alk,
            **{f"{prefix}{COLUMN[i]}": v for i, v in ions.items()}}


def states(command, solver, rng, n):
    waters = [(*water(rng, i % 2), round(rng.uniform(5, 35), 2), round(rng.uniform(5.8, 8.6), 2))
              for i in range(n)]
    got, _ = run(command, "states", [cells(a, w, t) | {"ph": ph} for a, w, t, ph in waters])
    worst, solved = Worst(), []
    start = time.perf_counter()
    for alk, ions, t, ph in waters:
        try:
            solved.append(solver.solve(t, ions, alk, ph=ph))
        except Exception:  # the wrapper raises nothing finer: the solver found no water
            solved.append(None)
    rate = n / (time.perf_counter() - start)
    refused, alone = 0, 0
    for (alk, ions, t, _), row, s in zip(waters, got, solved, strict=True):
        if s is None or row["problem"]:
            refused += 1
            alone += (s is None) != bool(row["problem"])
            continue
        co2, hco3, _, dic = mg_l(s)
        minor = ions["PO4"] > 0
        worst.see(f"co2_mg_l{' minor' * minor}", row["co2_mg_l"], co2, relative=5e-3 if minor else 1e-3)
        worst.see("hco3_mg_l", row["hco3_mg_l"], hco3, relative=2e-3)
        worst.see("ionic_strength", row["ionic_strength_mol_kg"], s["mu"], relative=2e-3)
        worst.see("calcite_saturation_index", row["calcite_saturation_index"], s["si"], absolute=2e-3)
        cold = solver.solve(25, ions, alk, dic=dic)
        worst.see("conductivity_25_us_cm", row["conductivity_25_us_cm"], cold["sc"], relative=1.5e-2)
    print(f"states: {n} waters, {refused} refused, {alone} of them by one of the two only")
    return worst.tell(), rate


def gas(command, solver, rng, n):
    waters = [(*water(rng, False), round(rng.uniform(15, 32), 2), round(rng.uniform(2, 40), 1))
              for _ in range(n)]
    got, _ = run(command, "gas", [cells(a, w, t) | {"added_co2_mg_l": c} for a, w, t, c in waters])
    worst = Worst()
    for (alk, ions, t, added), row in zip(waters, got, strict=True):
        air = solver.in_air(t, ions, alk, 420e-6)
        after = solver.solve(t, ions, alk, dic=mg_l(air)[3] + added / CO2)
        worst.see("air_ph", row["air_ph"], air["ph"], absolute=6e-3)
        worst.see("ph_after", row["ph_after"], after["ph"], absolute=6e-3)
        worst.see("co2_after_mg_l", row["co2_after_mg_l"], mg_l(after)[0], relative=1.5e-2)
    print(f"gas: {n} waters")
    return worst.tell()


def mix(command, solver, rng, n):
    pairs = [[(*water(rng, False), round(rng.uniform(15, 32), 1), round(rng.uniform(6, 8.5), 2))
              for _ in range(2)] + [round(rng.uniform(0.05, 0.95), 2)] for _ in range(n)]
    table = [cells(*a[:3], "a_") | cells(*b[:3], "b_") | {"a_ph": a[3], "b_ph": b[3], "share_a": f}
             for a, b, f in pairs]
    got, _ = run(command, "mix", table)
    worst = Worst()
    for (a, b, f), row in zip(pairs, got, strict=True):
        dic = [mg_l(solver.solve(t, ions, alk, ph=ph))[3] for alk, ions, t, ph in (a, b)]
        mean = lambda x, y: f * x + (1 - f) * y
        s = solver.solve(float(row["mix_temperature_c"]),
                         {i: mean(a[1][i], b[1][i]) for i in a[1]}, mean(a[0], b[0]), dic=mean(*dic))
        worst.see("mix_ph", row["mix_ph"], s["ph"], absolute=6e-3)
        worst.see("mix_co2_mg_l", row["mix_co2_mg_l"], mg_l(s)[0], relative=1.5e-2)
    print(f"mix: {n} pairs")
    return worst.tell()


def speed(command, rng, reference):
    base = [cells(*water(rng, True), round(rng.uniform(5, 35), 2)) | {"ph": round(rng.uniform(6, 8), 2)}
            for _ in range(2000)]
    table = base * 100
    _, seconds = run(command, "states", table)
    rate = len(table) / seconds
    print(f"speed: command {rate:,.0f} rows/s end to end over {len(table):,} rows, "
          f"reference {reference:,.0f} rows/s, ratio {rate / reference:,.0f}")
    return rate < 100 * reference


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rows", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("command", nargs="*", default=["../../target/release/examples/batch"])
    args = parser.parse_args()
    rng, solver = random.Random(args.seed), Solver()
    out, rate = states(args.command, solver, rng, args.rows)
    out |= gas(args.command, solver, rng, args.rows // 4)
    out |= mix(args.command, solver, rng, args.rows // 4)
    out |= speed(args.command, rng, rate)
    sys.exit(bool(out))


if __name__ == "__main__":
    main()
