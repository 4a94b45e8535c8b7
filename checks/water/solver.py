"""One water through the reference solver: phreeqpython 1.6.2 (library 3.7.3-15968), phreeqc.dat.

Only initial-solution calculations are used. A reaction step at the default redox potential may turn
nitrate into nitrogen and shift pH.
"""
import math

from phreeqpython import PhreeqPython

# CIAAW 2021, g/mol.
H, B, C, N, O = 1.008, 10.81, 12.011, 14.007, 15.999
MASS = {
    "Ca": 40.078, "Mg": 24.305, "Na": 22.98976928, "K": 39.0983, "Cl": 35.45,
    "SO4": 32.06 + 4 * O, "NO3": N + 3 * O, "PO4": 30.973761998 + 4 * O,
    "SiO2": 28.085 + 2 * O, "B": B,
}
CO2, HCO3, CO3 = C + 2 * O, H + C + 3 * O, C + 3 * O
NAME = {"SO4": "S(6)", "NO3": "N(5)", "PO4": "P", "SiO2": "Si"}

PUNCH = """
SELECTED_OUTPUT 1
 -reset false
USER_PUNCH 1
 -headings ph co2 hco3 co3 dic mu si pco2 sc rho
 -start
 10 w = TOT("water") / SOLN_VOL
 20 PUNCH -LA("H+"), MOL("CO2")*w, MOL("HCO3-")*w, MOL("CO3-2")*w, TOT("C(4)")*w
 30 PUNCH MU, SI("Calcite"), SI("CO2(g)"), SC, RHO
 -end
"""


class Solver:
    """The reference solver with one database."""

    def __init__(self, database="phreeqc.dat"):
        self.ip = PhreeqPython(database=database).ip

    def solve(self, celsius, ions, alkalinity, ph=None, dic=None):
        """ions in mg/L by name, alkalinity in meq/L, dic in mmol/L."""
        lines = [PUNCH, "SOLUTION 1", f" temp {celsius}", " units mmol/L", " density 1 calculate"]
        for name, mg_l in ions.items():
            if mg_l > 0:
                lines.append(f" {NAME.get(name, name)} {mg_l / MASS[name]:.12g}")
        lines += [f" pH {ph if ph is not None else 7}", f" Alkalinity {alkalinity:.12g}"]
        if dic is not None:
            lines.append(f" C(4) {dic:.12g}")
        self.ip.run_string("\n".join(lines) + "\nEND\n")
        names, *rows = self.ip.get_selected_output_array()
        return dict(zip(names, rows[-1]))

    def in_air(self, celsius, ions, alkalinity, pco2):
        """The same with the pH at which it is in equilibrium with CO2 at pco2 atm.

        The solver can do this in one go by charge balance, but then leaves the carbonate out of the
        mass of a litre, worth 2e-4 of DIC in hard water and 0.004 pH after a little gas.
        """
        low, high = 4.0, 10.5
        for _ in range(60):
            ph = (low + high) / 2
            solved = self.solve(celsius, ions, alkalinity, ph=ph)
            gap = solved["pco2"] - math.log10(pco2)
            if abs(gap) < 1e-7:
                break
            low, high = (ph, high) if gap > 0 else (low, ph)
            # Near the end pCO2 falls tenfold per pH: step there at once.
            low, high = max(low, ph + gap - abs(gap) * 0.3), min(high, ph + gap + abs(gap) * 0.3)
        return solved


def mg_l(solved):
    """CO2, HCO3, CO3 in mg/L and DIC in mmol/L from mol/L."""
    return (1e3 * CO2 * solved["co2"], 1e3 * HCO3 * solved["hco3"], 1e3 * CO3 * solved["co3"],
            1e3 * solved["dic"])
