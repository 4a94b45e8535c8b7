//! What to weigh so that a source water meets a target, and how to blend two sources.

use quantity::salt::Salt;

use super::dose::{Effect, effect, plus};
use super::nnls::{nnls, residual};
use crate::error::{Unsolvable, within};
use crate::relations::ciaaw_2021 as mass;
use crate::water::Water;

/// What the finished water should hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// General hardness, dGH.
    pub gh_dgh: f64,
    /// Alkalinity, dKH.
    pub kh_dkh: f64,
    /// Calcium to magnesium by mass; `None` leaves it free.
    pub ca_to_mg: Option<f64>,
    /// Potassium, mg/L; `None` leaves it free.
    pub k_mg_l: Option<f64>,
}

/// One salt of a recipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed<'a> {
    /// The salt.
    pub salt: &'a Salt,
    /// mg per litre of water.
    pub mg_l: f64,
}

/// What to weigh, and what it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe<'a> {
    /// The fewest salts that reach what all of them together could reach.
    pub weigh: Vec<Weighed<'a>>,
    /// The finished water, all salts dissolved.
    pub water: Water,
    /// Inorganic carbon the salts bring, mmol/L.
    pub dic_mmol_l: f64,
    /// Largest miss over the quantities asked for, relative to the target (dGH and dKH to at least
    /// one degree, K to at least 5 mg/L).
    pub miss: f64,
}

/// Miss that no kit could see.
const UNSEEN: f64 = 0.005;
/// Most salts a recipe may choose from: all their subsets are tried.
const MOST_SALTS: usize = 12;

/// A quantity of a water and what it is multiplied with.
type Weighted = (fn(&Water) -> f64, f64);

struct Rows {
    weights: Vec<Weighted>,
}

impl Rows {
    /// The quantities aimed at, each divided by its size so that misses compare.
    fn of(target: &Target) -> (Rows, Vec<f64>) {
        let mut weights: Vec<Weighted> = Vec::new();
        let mut wanted = Vec::new();
        let mut aim = |what: fn(&Water) -> f64, value: f64, size: f64| {
            weights.push((what, 1.0 / size));
            wanted.push(value / size);
        };
        match target.ca_to_mg {
            Some(ratio) => {
                // dGH of each, from the whole and their ratio by mass.
                let (ca, mg) = (ratio / mass::CA, 1.0 / mass::MG);
                let share = ca / (ca + mg);
                let size = target.gh_dgh.max(1.0);
                aim(
                    |w| w.ca_mg_l / mass::CA * mass::CAO / 10.0,
                    target.gh_dgh * share,
                    size,
                );
                aim(
                    |w| w.mg_mg_l / mass::MG * mass::CAO / 10.0,
                    target.gh_dgh * (1.0 - share),
                    size,
                );
            }
            None => aim(Water::gh_dgh, target.gh_dgh, target.gh_dgh.max(1.0)),
        }
        aim(Water::kh_dkh, target.kh_dkh, target.kh_dkh.max(1.0));
        if let Some(k) = target.k_mg_l {
            aim(|w| w.k_mg_l, k, k.max(5.0));
        }
        (Rows { weights }, wanted)
    }

    fn values(&self, water: &Water) -> Vec<f64> {
        self.weights
            .iter()
            .map(|(of, weight)| of(water) * weight)
            .collect()
    }
}

/// The least set of `salts` that takes `source` to `target`, by non-negative least squares over
/// their subsets: the fewest salts first, the least mass among equals.
///
/// What the source already holds too much of cannot be taken out; the miss says so. At most 12
/// salts.
pub fn remineralise<'a>(
    source: &Water,
    salts: &[&'a Salt],
    target: &Target,
) -> Result<Recipe<'a>, Unsolvable> {
    within("gh_dgh", target.gh_dgh, 0.0, 100.0)?;
    within("kh_dkh", target.kh_dkh, 0.0, 100.0)?;
    within("ca_to_mg", target.ca_to_mg.unwrap_or(1.0), 0.0, 1e4)?;
    within("k_mg_l", target.k_mg_l.unwrap_or(0.0), 0.0, 1e4)?;
    within(
        "number of salts",
        salts.len() as f64,
        1.0,
        MOST_SALTS as f64,
    )?;
    let (rows, wanted) = Rows::of(target);
    let have = rows.values(source);
    let missing: Vec<f64> = wanted.iter().zip(&have).map(|(w, h)| w - h).collect();
    // Columns per mg/L of salt, scaled to 100 mg/L so that numbers are near 1.
    let columns: Vec<Vec<f64>> = salts
        .iter()
        .map(|s| rows.values(&effect(s, 100.0).brings))
        .collect();
    let miss = |x: &[f64], columns: &[Vec<f64>]| {
        residual(columns, &missing, x)
            .iter()
            .fold(0.0, |m: f64, r| m.max(r.abs()))
    };
    let all = nnls(&columns, &missing);
    let best = miss(&all, &columns);
    let mut chosen: Option<(u32, f64, Vec<f64>)> = None;
    for subset in 0u32..1 << salts.len() {
        if chosen
            .as_ref()
            .is_some_and(|(count, ..)| subset.count_ones() > *count)
        {
            continue;
        }
        let members: Vec<usize> = (0..salts.len()).filter(|j| subset >> j & 1 == 1).collect();
        let some: Vec<Vec<f64>> = members.iter().map(|j| columns[*j].clone()).collect();
        let part = nnls(&some, &missing);
        if miss(&part, &some) > best + UNSEEN {
            continue;
        }
        let mass: f64 = part.iter().sum();
        let better = chosen
            .as_ref()
            .is_none_or(|(count, least, _)| subset.count_ones() < *count || mass < *least - 1e-9);
        if better {
            let mut x = vec![0.0; salts.len()];
            for (j, value) in members.iter().zip(&part) {
                x[*j] = *value;
            }
            chosen = Some((subset.count_ones(), mass, x));
        }
    }
    let x = chosen.map_or(all, |(_, _, x)| x);
    Ok(finish(source, salts, &x, miss(&x, &columns)))
}

fn finish<'a>(source: &Water, salts: &[&'a Salt], x: &[f64], miss: f64) -> Recipe<'a> {
    let mut recipe = Recipe {
        weigh: Vec::new(),
        water: *source,
        dic_mmol_l: 0.0,
        miss,
    };
    for (salt, x) in salts.iter().zip(x) {
        if *x > 0.0 {
            let mg_l = 100.0 * x;
            let Effect {
                brings, dic_mmol_l, ..
            } = effect(salt, mg_l);
            recipe.water = plus(&recipe.water, &brings);
            recipe.dic_mmol_l += dic_mmol_l;
            recipe.weigh.push(Weighed { salt, mg_l });
        }
    }
    recipe
}

/// A blend of two sources.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blend {
    /// Share of the first by volume, 0 to 1.
    pub share_a: f64,
    /// General hardness, dGH.
    pub gh_dgh: f64,
    /// Alkalinity, dKH.
    pub kh_dkh: f64,
    /// Larger of the two misses, degrees.
    pub miss_degrees: f64,
}

/// The share of `a` in a blend with `b` that comes nearest, in least squares, to a hardness and an
/// alkalinity.
pub fn blend(a: &Water, b: &Water, gh_dgh: f64, kh_dkh: f64) -> Result<Blend, Unsolvable> {
    within("gh_dgh", gh_dgh, 0.0, 1e3)?;
    within("kh_dkh", kh_dkh, 0.0, 1e3)?;
    let (dg, dk) = (a.gh_dgh() - b.gh_dgh(), a.kh_dkh() - b.kh_dkh());
    let length = dg * dg + dk * dk;
    if length.is_nan() || length <= 1e-12 {
        return Err(Unsolvable::Missing {
            what: "a second water that differs in GH or KH",
            why: "blending two equal waters changes nothing",
        });
    }
    let share = ((gh_dgh - b.gh_dgh()) * dg + (kh_dkh - b.kh_dkh()) * dk) / length;
    let share_a = share.clamp(0.0, 1.0);
    let gh = b.gh_dgh() + share_a * dg;
    let kh = b.kh_dkh() + share_a * dk;
    Ok(Blend {
        share_a,
        gh_dgh: gh,
        kh_dkh: kh,
        miss_degrees: (gh - gh_dgh).abs().max((kh - kh_dkh).abs()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::salt::find;

    fn salts(formulas: &[&str]) -> Vec<&'static Salt> {
        formulas.iter().map(|f| find(f).unwrap()).collect()
    }

    #[test]
    fn pure_water_to_six_and_three_degrees() {
        let some = salts(&[
            "CaSO4.2H2O",
            "CaCl2.2H2O",
            "MgSO4.7H2O",
            "KHCO3",
            "NaHCO3",
            "K2SO4",
        ]);
        let target = Target {
            gh_dgh: 6.0,
            kh_dkh: 3.0,
            ca_to_mg: Some(3.0),
            k_mg_l: Some(15.0),
        };
        let recipe = remineralise(&Water::default(), &some, &target).unwrap();
        assert!(recipe.miss < UNSEEN, "{recipe:?}");
        assert!((recipe.water.gh_dgh() - 6.0).abs() < 0.03);
        assert!((recipe.water.kh_dkh() - 3.0).abs() < 0.03);
        assert!((recipe.water.ca_mg_l / recipe.water.mg_mg_l - 3.0).abs() < 0.1);
        assert!((recipe.water.k_mg_l - 15.0).abs() < 0.1);
        // Calcium, magnesium, alkalinity and potassium: four demands, at most four salts.
        assert!(recipe.weigh.len() <= 4, "{recipe:?}");
        // A hand calculation: 6 dGH at 3:1 by mass is 1.07 mmol/L, 0.6455 of it calcium.
        let mg = recipe
            .weigh
            .iter()
            .find(|w| w.salt.formula == "MgSO4.7H2O")
            .unwrap()
            .mg_l;
        assert!((mg - 1.06996 * 0.35463 * 246.466).abs() < 1.0, "{mg}");
    }

    #[test]
    fn one_salt_where_one_does() {
        let some = salts(&["CaCl2", "CaCl2.2H2O", "CaCl2.6H2O"]);
        let target = Target {
            gh_dgh: 5.0,
            kh_dkh: 0.0,
            ca_to_mg: None,
            k_mg_l: None,
        };
        let recipe = remineralise(&Water::default(), &some, &target).unwrap();
        assert_eq!(recipe.weigh.len(), 1);
        assert_eq!(recipe.weigh[0].salt.formula, "CaCl2");
        // 5.05298 dGH per 100 mg/L (salt table).
        assert!((recipe.weigh[0].mg_l - 5.0 / 5.05298 * 100.0).abs() < 1e-2);
    }

    #[test]
    fn what_is_too_much_cannot_be_taken_out() {
        let hard = Water {
            ca_mg_l: 120.0,
            alkalinity_meq_l: 4.0,
            ..Water::default()
        };
        let some = salts(&["CaCl2", "NaHCO3"]);
        let target = Target {
            gh_dgh: 6.0,
            kh_dkh: 4.0,
            ca_to_mg: None,
            k_mg_l: None,
        };
        let recipe = remineralise(&hard, &some, &target).unwrap();
        assert!(recipe.weigh.is_empty() && recipe.miss > 1.0);
    }

    #[test]
    fn a_blend_by_the_cross() {
        // Half of 16 dGH and half of pure water is 8 dGH.
        let tap = Water {
            ca_mg_l: 16.0 * 7.1470,
            alkalinity_meq_l: 12.0 * 0.356_652,
            ..Water::default()
        };
        let found = blend(&tap, &Water::default(), 8.0, 6.0).unwrap();
        assert!((found.share_a - 0.5).abs() < 1e-4 && found.miss_degrees < 1e-3);
        assert!(blend(&tap, &tap, 8.0, 6.0).is_err());
    }
}
