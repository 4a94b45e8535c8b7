//! Who is bound to whom at a given pH: free ions, ion pairs and minor acids.
//!
//! Component by component (Gauss-Seidel) with the activity coefficients of the last pass; fresh
//! water is weakly paired, so each pass gains about two digits.

use crate::activity::Gammas;
use crate::constants::{Constants, pow10};
use crate::error::Unsolvable;
use crate::species::{Species, Totals};

/// Ionic strength above which the activity model is not trusted, mol/kg.
pub const IONIC_STRENGTH_LIMIT: f64 = 0.03;
/// Largest relative change of a component between passes at which a solution stands.
const SETTLED: f64 = 1e-7;
const MOST_PASSES: u32 = 2000;
/// Passes after which each goes half its way only: where a ligand and a cation hold nearly all of
/// each other (much magnesium, pH 10), whole passes go to and fro for ever.
const UNDAMPED: u32 = 15;

/// What fixes the carbonate of a water whose pH is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Carbon {
    /// Total alkalinity, eq/kg.
    Alkalinity(f64),
    /// Dissolved inorganic carbon, mol/kg.
    Dic(f64),
    /// Activity of dissolved CO2 (K0 times its partial pressure).
    Co2Activity(f64),
    /// Concentration of dissolved CO2, mol/kg.
    Co2(f64),
}

/// The components the passes move.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Guess {
    ca: f64,
    mg: f64,
    na: f64,
    k: f64,
    nh4: f64,
    so4: f64,
    hpo4: f64,
    co3: f64,
    ionic_strength: f64,
}

impl Guess {
    /// Everything free.
    pub(crate) fn start(t: &Totals, alkalinity: f64) -> Self {
        let charges = 4.0 * (t.ca + t.mg + t.so4) + t.na + t.k + t.nh4 + t.cl + t.no3 + t.p;
        Guess {
            ca: t.ca,
            mg: t.mg,
            na: t.na,
            k: t.k,
            nh4: t.nh4,
            so4: t.so4,
            hpo4: 0.5 * t.p,
            co3: 0.0,
            ionic_strength: 0.5 * (charges + alkalinity.abs()),
        }
    }

    /// Largest relative change since `before`.
    fn change(&self, before: &Guess) -> f64 {
        [
            (self.co3, before.co3),
            (self.ca, before.ca),
            (self.mg, before.mg),
            (self.so4, before.so4),
            (self.hpo4, before.hpo4),
            (self.ionic_strength, before.ionic_strength),
        ]
        .into_iter()
        .map(|(now, then)| (now - then).abs() / now.abs().max(1e-30))
        .fold(0.0, f64::max)
    }

    /// Half the way back to `before`.
    fn halfway_to(&mut self, before: &Guess) {
        for (now, then) in [
            (&mut self.ca, before.ca),
            (&mut self.mg, before.mg),
            (&mut self.na, before.na),
            (&mut self.k, before.k),
            (&mut self.nh4, before.nh4),
            (&mut self.so4, before.so4),
            (&mut self.hpo4, before.hpo4),
            (&mut self.co3, before.co3),
            (&mut self.ionic_strength, before.ionic_strength),
        ] {
            *now = 0.5 * (*now + then);
        }
    }

    /// The free components of a solved water.
    pub(crate) fn of(s: &Species) -> Self {
        Guess {
            ca: s.ca,
            mg: s.mg,
            na: s.na,
            k: s.k,
            nh4: s.nh4,
            so4: s.so4,
            hpo4: s.hpo4,
            co3: s.co3,
            ionic_strength: s.ionic_strength,
        }
    }
}

/// Conditional constants at one pH and ionic strength: concentration ratios to the free ion.
struct Ratios {
    h: f64,
    oh: f64,
    /// HCO3- and CO2 per CO3--.
    hco3: f64,
    co2: f64,
    /// PO4---, H2PO4-, H3PO4 per HPO4--.
    po4: f64,
    h2po4: f64,
    h3po4: f64,
    /// Per free cation and CO3--.
    cahco3: f64,
    caco3: f64,
    mghco3: f64,
    mgco3: f64,
    nahco3: f64,
    naco3: f64,
    /// Per free cation and SO4--.
    caso4: f64,
    mgso4: f64,
    naso4: f64,
    kso4: f64,
    nh4so4: f64,
    hso4: f64,
    /// Per free cation.
    caoh: f64,
    mgoh: f64,
    /// Per free cation and HPO4--.
    capo4: f64,
    cahpo4: f64,
    cah2po4: f64,
    mgpo4: f64,
    mghpo4: f64,
    mgh2po4: f64,
    nahpo4: f64,
    khpo4: f64,
    /// Ionised shares.
    silicate: f64,
    borate: f64,
    /// NH3 per NH4+.
    nh3: f64,
}

impl Ratios {
    fn at(k: &Constants, g: &Gammas, a_h: f64, phosphate: bool) -> Self {
        // Reciprocals once: divisions are what this function would spend its time on.
        let (per_neutral, per_hco3, per_davies, per_h) =
            (1.0 / g.neutral, 1.0 / g.hco3, 1.0 / g.davies, 1.0 / a_h);
        let hco3 = g.co3 * a_h / (k.k2 * g.hco3);
        let co2 = hco3 * g.hco3 * a_h / (k.k1 * g.neutral);
        let (mut po4, mut h2po4, mut h3po4) = (0.0, 0.0, 0.0);
        if phosphate {
            po4 = g.hpo4 * k.hpo4_acid / (g.po4 * a_h);
            h2po4 = g.hpo4 * a_h / (k.h2po4_acid * g.hco3);
            h3po4 = h2po4 * g.hco3 * a_h / (k.h3po4_acid * g.neutral);
        }
        let share = |ratio: f64| ratio / (1.0 + ratio);
        Ratios {
            h: a_h / g.h,
            oh: k.kw * per_h / g.oh,
            hco3,
            co2,
            po4,
            h2po4,
            h3po4,
            cahco3: k.cahco3 * g.ca * g.hco3 / g.cahco3 * hco3,
            caco3: k.caco3 * g.ca * g.co3 * per_neutral,
            mghco3: k.mghco3 * g.mg * g.hco3 / g.mghco3 * hco3,
            mgco3: k.mgco3 * g.mg * g.co3 * per_neutral,
            nahco3: k.nahco3 * g.na * g.hco3 * per_neutral * hco3,
            naco3: k.naco3 * g.na * g.co3 * per_davies,
            caso4: k.caso4 * g.ca * g.so4 * per_neutral,
            mgso4: k.mgso4 * g.mg * g.so4 * per_neutral,
            naso4: k.naso4 * g.na * g.so4 * per_hco3,
            kso4: k.kso4 * g.k * g.so4 * per_hco3,
            nh4so4: k.nh4so4 * g.nh4 * g.so4 * per_davies,
            hso4: k.hso4 * a_h * g.so4 * per_davies,
            caoh: k.caoh * g.ca * per_h * per_davies,
            mgoh: k.mgoh * g.mg * per_h / g.mgoh,
            capo4: k.capo4 * g.ca * g.po4 * per_hco3 * po4,
            cahpo4: k.cahpo4 * g.ca * g.hpo4 * per_neutral,
            cah2po4: k.cah2po4 * g.ca * h2po4,
            mgpo4: k.mgpo4 * g.mg * g.po4 * per_hco3 * po4,
            mghpo4: k.mghpo4 * g.mg * g.hpo4 * per_neutral,
            mgh2po4: k.mgh2po4 * g.mg * h2po4,
            nahpo4: k.alkali_hpo4 * g.na * g.hpo4 * per_hco3,
            khpo4: k.alkali_hpo4 * g.k * g.hpo4 * per_hco3,
            silicate: share(k.silicic_acid * g.neutral * per_h / g.mghco3),
            borate: share(k.boric_acid * g.neutral * per_h * per_davies),
            nh3: k.ammonium_acid * g.nh4 * per_h * per_neutral,
        }
    }
}

/// Speciation at `ph`. `guess` is moved to the solution, so a neighbouring pH starts there.
pub(crate) fn at_ph(
    k: &Constants,
    totals: &Totals,
    ph: f64,
    carbon: Carbon,
    guess: &mut Guess,
) -> Result<Species, Unsolvable> {
    let a_h = pow10(-ph);
    let mut iterations = 0;
    loop {
        iterations += 1;
        let gammas = Gammas::at(k, guess.ionic_strength);
        let ratios = Ratios::at(k, &gammas, a_h, totals.p > 0.0);
        let before = *guess;
        // Activities are what costs; while they are still rough, a second pass is nearly free.
        if iterations < 3 {
            pass(totals, carbon, &ratios, &gammas, guess);
        }
        pass(totals, carbon, &ratios, &gammas, guess);
        let change = guess.change(&before);
        if !guess.ionic_strength.is_finite() {
            return Err(Unsolvable::NotConverged {
                iterations,
                residual: f64::INFINITY,
            });
        }
        if change < SETTLED || iterations >= MOST_PASSES {
            let species = collect(totals, ph, &ratios, gammas, guess);
            let residual = species.imbalance(totals);
            if iterations >= MOST_PASSES && residual > 1e-8 {
                return Err(Unsolvable::NotConverged {
                    iterations,
                    residual,
                });
            }
            return Ok(Species {
                iterations,
                residual,
                ..species
            });
        }
        if iterations > UNDAMPED {
            guess.halfway_to(&before);
        }
        // Far outside fresh water the model means nothing; keep the arithmetic in bounds meanwhile.
        guess.ionic_strength = guess.ionic_strength.clamp(0.0, 1.0);
    }
}

/// Speciation and pH together: one pass, one Newton step on the pH, again. Quick, and without a
/// guarantee; `None` when it does not settle, and then a bracketed search has to answer.
pub(crate) fn settle(
    k: &Constants,
    totals: &Totals,
    (alkalinity, carbon): (f64, Carbon),
    from: f64,
    guess: &mut Guess,
    tolerance: f64,
) -> Option<Species> {
    let mut ph = from;
    let mut strength = guess.ionic_strength;
    let mut gammas = Gammas::at(k, strength);
    for iterations in 1..40 {
        let a_h = pow10(-ph);
        if (guess.ionic_strength / strength - 1.0).abs() > tolerance {
            strength = guess.ionic_strength;
            gammas = Gammas::at(k, strength);
        }
        let ratios = Ratios::at(k, &gammas, a_h, totals.p > 0.0);
        let before = *guess;
        pass(totals, carbon, &ratios, &gammas, guess);
        let species = collect(totals, ph, &ratios, gammas, guess);
        let excess = species.alkalinity - alkalinity;
        let step = (excess / species.buffer_capacity(carbon)).clamp(-1.0, 1.0);
        if !step.is_finite() || !(0.0..1.0).contains(&guess.ionic_strength) {
            return None;
        }
        if step.abs() < tolerance && guess.change(&before) < tolerance {
            let residual = species.imbalance(totals);
            return Some(Species {
                iterations,
                residual,
                ..species
            });
        }
        ph -= step;
    }
    None
}

/// One pass: ligands from the free cations, then the cations from the ligands.
fn pass(t: &Totals, carbon: Carbon, r: &Ratios, g: &Gammas, x: &mut Guess) {
    let po4_bound = x.ca * r.capo4 + x.mg * r.mgpo4;
    let hpo4_bound = x.ca * r.cahpo4 + x.mg * r.mghpo4;
    let h2po4_bound = x.ca * r.cah2po4 + x.mg * r.mgh2po4;
    let alkali_bound = x.na * r.nahpo4 + x.k * r.khpo4;
    x.hpo4 = t.p
        / (1.0 + r.po4 + r.h2po4 + r.h3po4 + po4_bound + hpo4_bound + h2po4_bound + alkali_bound);
    x.so4 = t.so4
        / (1.0
            + r.hso4
            + x.ca * r.caso4
            + x.mg * r.mgso4
            + x.na * r.naso4
            + x.k * r.kso4
            + x.nh4 * r.nh4so4);
    x.nh4 = t.nh4 / (1.0 + r.nh3 + x.so4 * r.nh4so4);
    let silicate = t.si * r.silicate;
    let borate = t.b * r.borate;
    let other = r.oh - r.h - x.so4 * r.hso4
        + x.ca * r.caoh
        + x.mg * r.mgoh
        + x.hpo4 * (1.0 + hpo4_bound + alkali_bound + 2.0 * (r.po4 + po4_bound) - r.h3po4)
        + silicate
        + borate
        + x.nh4 * r.nh3;
    // Carbonate species per free CO3--: carrying one equivalent, carrying two.
    let one = r.hco3 + x.ca * r.cahco3 + x.mg * r.mghco3 + x.na * r.nahco3;
    let two = 1.0 + x.ca * r.caco3 + x.mg * r.mgco3 + x.na * r.naco3;
    x.co3 = match carbon {
        Carbon::Alkalinity(total) => (total - other) / (one + 2.0 * two),
        Carbon::Dic(total) => total / (r.co2 + one + two),
        Carbon::Co2Activity(activity) => activity / g.neutral / r.co2,
        Carbon::Co2(concentration) => concentration / r.co2,
    };
    // A negative carbonate is reported by the caller; it must not bind cations meanwhile.
    let co3 = x.co3.max(0.0);
    let phosphate = |one: f64, two: f64, three: f64| x.hpo4 * (one + two + three);
    x.ca = t.ca
        / (1.0
            + r.caoh
            + co3 * (r.cahco3 + r.caco3)
            + x.so4 * r.caso4
            + phosphate(r.capo4, r.cahpo4, r.cah2po4));
    x.mg = t.mg
        / (1.0
            + r.mgoh
            + co3 * (r.mghco3 + r.mgco3)
            + x.so4 * r.mgso4
            + phosphate(r.mgpo4, r.mghpo4, r.mgh2po4));
    x.na = t.na / (1.0 + co3 * (r.nahco3 + r.naco3) + x.so4 * r.naso4 + x.hpo4 * r.nahpo4);
    x.k = t.k / (1.0 + x.so4 * r.kso4 + x.hpo4 * r.khpo4);
    x.ionic_strength = ionic_strength(t, r, x);
}

/// Ionic strength of the free components and their pairs, as [`Species::sum_up`] has it.
fn ionic_strength(t: &Totals, r: &Ratios, x: &Guess) -> f64 {
    let carbonate = r.hco3 + x.ca * r.cahco3 + x.mg * r.mghco3 + x.na * r.naco3;
    let sulfate = x.na * r.naso4 + x.k * r.kso4 + x.nh4 * r.nh4so4 + r.hso4;
    let phosphate = r.h2po4
        + x.ca * (r.capo4 + r.cah2po4)
        + x.mg * (r.mgpo4 + r.mgh2po4)
        + x.na * r.nahpo4
        + x.k * r.khpo4;
    let single = r.h
        + r.oh
        + x.na
        + x.k
        + x.nh4
        + t.cl
        + t.no3
        + x.co3 * carbonate
        + x.so4 * sulfate
        + x.hpo4 * phosphate
        + x.ca * r.caoh
        + x.mg * r.mgoh
        + t.si * r.silicate
        + t.b * r.borate;
    let double = x.ca + x.mg + x.so4 + x.co3 + x.hpo4;
    0.5 * (single + 4.0 * double + 9.0 * x.hpo4 * r.po4).max(0.0)
}

/// All species of the free components.
fn collect(t: &Totals, ph: f64, r: &Ratios, g: Gammas, x: &Guess) -> Species {
    let mut s = Species {
        ph,
        h: r.h,
        oh: r.oh,
        ca: x.ca,
        mg: x.mg,
        na: x.na,
        k: x.k,
        nh4: x.nh4,
        nh3: x.nh4 * r.nh3,
        cl: t.cl,
        no3: t.no3,
        so4: x.so4,
        co2: x.co3 * r.co2,
        hco3: x.co3 * r.hco3,
        co3: x.co3,
        cahco3: x.ca * x.co3 * r.cahco3,
        caco3: x.ca * x.co3 * r.caco3,
        mghco3: x.mg * x.co3 * r.mghco3,
        mgco3: x.mg * x.co3 * r.mgco3,
        nahco3: x.na * x.co3 * r.nahco3,
        naco3: x.na * x.co3 * r.naco3,
        caso4: x.ca * x.so4 * r.caso4,
        mgso4: x.mg * x.so4 * r.mgso4,
        naso4: x.na * x.so4 * r.naso4,
        kso4: x.k * x.so4 * r.kso4,
        nh4so4: x.nh4 * x.so4 * r.nh4so4,
        hso4: x.so4 * r.hso4,
        caoh: x.ca * r.caoh,
        mgoh: x.mg * r.mgoh,
        po4: x.hpo4 * r.po4,
        hpo4: x.hpo4,
        h2po4: x.hpo4 * r.h2po4,
        h3po4: x.hpo4 * r.h3po4,
        po4_pairs: x.hpo4 * (x.ca * r.capo4 + x.mg * r.mgpo4),
        hpo4_pairs: x.hpo4 * (x.ca * r.cahpo4 + x.mg * r.mghpo4),
        alkali_hpo4: x.hpo4 * (x.na * r.nahpo4 + x.k * r.khpo4),
        h2po4_pairs: x.hpo4 * (x.ca * r.cah2po4 + x.mg * r.mgh2po4),
        silicate: t.si * r.silicate,
        borate: t.b * r.borate,
        other_alkalinity: 0.0,
        alkalinity: 0.0,
        dic: 0.0,
        ionic_strength: 0.0,
        gammas: g,
        iterations: 0,
        residual: 0.0,
    };
    s.sum_up();
    s
}
