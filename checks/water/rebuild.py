"""Re-derives the tables of this folder with the reference solver and tells where they differ.

    python3 -m venv .venv && .venv/bin/pip install -r requirements.txt
    .venv/bin/python rebuild.py            # compares, exits 1 when a table is out
    .venv/bin/python rebuild.py --write    # writes worked.csv, the waters of the worked numbers

Nothing here uses the crate.
"""
import csv
import io
import pathlib
import sys

from solver import CO2, MASS, Solver, mg_l

HERE = pathlib.Path(__file__).parent
IONS = list(MASS)
DKH = 2 * 10 / (40.078 + 15.999)
WORKED = "worked.csv"


def rows(name):
    text = (HERE / name).read_text().splitlines()
    return list(csv.DictReader(io.StringIO("\n".join(l for l in text if not l.startswith("#")))))


def number(row, name):
    return float(row.get(name) or 0)


def ions(row, prefix=""):
    return {ion: number(row, f"{prefix}{ion}_mgL") for ion in IONS}


class Differences:
    """Worst difference of each column."""

    def __init__(self, table):
        self.table, self.worst, self.out = table, {}, False

    def see(self, column, got, expected, relative=None, absolute=None):
        gap = abs(got - expected)
        if relative is not None:
            gap /= abs(expected)
        worst = self.worst.get(column, (0, 0))[0]
        allowed = relative if relative is not None else absolute
        self.worst[column] = (max(worst, gap), allowed)
        self.out |= not gap <= allowed

    def tell(self):
        for column, (gap, allowed) in self.worst.items():
            print(f"{self.table:16} {column:22} worst {gap:.2e} allowed {allowed:.0e}")
        return self.out


def states(solver, name, alkalinity):
    found = Differences(name)
    for row in rows(name):
        water, alk, t = ions(row), number(row, alkalinity), number(row, "T_C")
        s = solver.solve(t, water, alk, ph=number(row, "pH"))
        co2, hco3, co3, dic = mg_l(s)
        found.see("co2_mgL", co2, number(row, "co2_mgL"), relative=5e-4)
        found.see("hco3_mgL", hco3, number(row, "hco3_mgL"), relative=5e-4)
        found.see("dic_mmolL", dic, number(row, "dic_mmolL"), relative=5e-4)
        found.see("ionic_strength", s["mu"], number(row, "ionic_strength_molkg"), relative=1e-3)
        if "si_calcite" in row:
            found.see("co3_mgL", co3, number(row, "co3_mgL"), relative=1e-3)
            found.see("si_calcite", s["si"], number(row, "si_calcite"), absolute=1e-3)
            found.see("density_kgL", s["rho"], number(row, "density_kgL"), absolute=2e-5)
            cold = solver.solve(25, water, alk, dic=dic)
            found.see("sc_25_uScm", cold["sc"], number(row, "sc_25_uScm"), relative=5e-3)
    return found.tell()


def gas(solver):
    found = Differences("cases_co2.csv")
    for row in rows("cases_co2.csv"):
        water, alk, t = ions(row), number(row, "alk_meqL"), number(row, "T_C")
        s = solver.in_air(t, water, alk, 420e-6)
        found.see("air_pH_420ppm_dry", s["ph"], number(row, "air_pH_420ppm_dry"), absolute=1e-3)
        found.see("air_co2_mgL", mg_l(s)[0], number(row, "air_co2_mgL"), relative=2e-3)
        dic = mg_l(s)[3] + number(row, "added_co2_mgL") / CO2
        s = solver.solve(t, water, alk, dic=dic)
        found.see("pH_after", s["ph"], number(row, "pH_after"), absolute=1e-3)
        found.see("si_calcite_after", s["si"], number(row, "si_calcite_after"), absolute=3e-3)
    return found.tell()


def mix(solver):
    found = Differences("cases_mix.csv")
    for row in rows("cases_mix.csv"):
        share = number(row, "f_A_volume")
        mean = lambda a, b: share * a + (1 - share) * b
        part = {}
        for p in "AB":
            s = solver.solve(number(row, f"{p}_T_C"), ions(row, f"{p}_"),
                             number(row, f"{p}_alk_meqL"), ph=number(row, f"{p}_pH"))
            part[p] = mg_l(s)[3]
        a, b = ions(row, "A_"), ions(row, "B_")
        alk = mean(number(row, "A_alk_meqL"), number(row, "B_alk_meqL"))
        s = solver.solve(number(row, "mix_T_C"), {i: mean(a[i], b[i]) for i in IONS}, alk,
                         dic=mean(part["A"], part["B"]))
        found.see("mix_pH", s["ph"], number(row, "mix_pH"), absolute=2e-3)
        found.see("mix_co2_mgL", mg_l(s)[0], number(row, "mix_co2_mgL"), relative=5e-3)
        found.see("mix_si_calcite", s["si"], number(row, "mix_si_calcite"), absolute=3e-3)
    return found.tell()


def tap(dkh, dgh, po4=0.0, si=0.0, b=0.0):
    """Calcium, sodium and chloride around an alkalinity; phosphate comes with its sodium."""
    alk, ca = dkh * DKH, dgh * DKH / 2
    gap = alk - 2 * ca + po4 / MASS["PO4"]
    return alk, {**dict.fromkeys(IONS, 0.0), "Ca": ca * MASS["Ca"], "PO4": po4, "SiO2": si, "B": b,
                 "Na": max(gap, 0) * MASS["Na"], "Cl": max(-gap, 0) * MASS["Cl"]}


def worked(solver):
    """The waters in which the worked numbers of the traps are repeated."""
    waters = [("indicator_vessel", 25, 6.6, tap(4, 0)), ("sealed", 20, 6.8, tap(4, 4)),
              ("phosphate_2_61_dkh", 25, 7.68, tap(2.61, 3, po4=52)),
              ("phosphate_4_dkh", 25, 6.6, tap(4, 4, po4=50)), ("plain_4_dkh", 25, 6.6, tap(4, 4)),
              ("plain_3_dkh", 25, 8.0, tap(3, 5)), ("borate", 25, 8.0, tap(3, 5, b=5)),
              ("silica", 25, 8.0, tap(3, 5, si=40))]
    waters += [(f"slope_{ph}", 25, ph, tap(4, 4)) for ph in (6.6, 7.0, 7.5, 8.0, 8.3, 8.6)]
    for name, t, ph, (alk, water) in waters:
        s = solver.solve(t, water, alk, ph=ph)
        co2, hco3, _, dic = mg_l(s)
        step = 1e-3 * dic
        more = mg_l(solver.solve(t, water, alk, dic=dic + step))[0]
        less = mg_l(solver.solve(t, water, alk, dic=dic - step))[0]
        warm = solver.solve(32, water, alk, dic=dic)
        yield {"id": name, "T_C": t, "pH": ph, "alk_meqL": round(alk, 6),
               **{f"{i}_mgL": round(abs(v), 6) for i, v in water.items()},
               "co2_mgL": f"{co2:.6g}", "hco3_mgL": f"{hco3:.6g}", "dic_mmolL": f"{dic:.6g}",
               "dic_per_co2": f"{2 * step * CO2 / (more - less):.5g}",
               "pH_at_32C": f"{warm['ph']:.4f}"}


def write_worked(solver):
    table = list(worked(solver))
    out = io.StringIO()
    writer = csv.DictWriter(out, table[0], lineterminator="\n")
    writer.writeheader()
    writer.writerows(table)
    head = ("# waters of the worked numbers, composed by us (rebuild.py), solved with the library "
            "3.7.3-15968 and phreeqc.dat. Tolerances: co2 0.1 %, dic_per_co2 0.5 %, pH_at_32C 0.002.\n")
    (HERE / WORKED).write_text(head + out.getvalue())


def compare_worked(solver):
    found = Differences(WORKED)
    for old, new in zip(rows(WORKED), worked(solver), strict=True):
        for column in ("co2_mgL", "dic_mmolL", "dic_per_co2", "pH_at_32C"):
            found.see(column, float(new[column]), float(old[column]), relative=2e-5)
    return found.tell()


def main():
    solver = Solver()
    if "--write" in sys.argv:
        write_worked(solver)
    out = [states(solver, "cases.csv", "alk_meqL"),
           states(solver, "cases_noncarb.csv", "total_alk_meqL"), gas(solver), mix(solver),
           compare_worked(solver)]
    sys.exit(any(out))


if __name__ == "__main__":
    main()
