//! Two or more arms compared, one number per tank.
//!
//! The tank is the unit, because the tank gets the treatment; plants and readings in it are
//! averaged before they come here. Every pair of arms gets a difference, an interval where there
//! is a degree of freedom for it, and the exact p-value beside it with the smallest p that so
//! few tanks can give. What cannot be said is listed as refusals.

use serde::Serialize;

use crate::growth::positive;
use crate::permutation::{self, Permutation};
use crate::summary::{check, check_share, median, moments};
use crate::t::{self, TTest};
use crate::{Interval, NoAnswer, Outcome, Refusal, Unusable, multiplicity};

pub use crate::power::{Counting, Plan, minimum_detectable};

/// How the values are to be compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Scale {
    /// Sizes above zero, compared as ratios: ln is taken here.
    Log,
    /// Values whose differences mean something, such as growth rates per day.
    Linear,
    /// Scores: an order without distances.
    Ordinal,
}

/// An arm and the value of each of its tanks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Arm {
    /// Name.
    pub name: String,
    /// One value per tank.
    pub tanks: Vec<f64>,
}

/// What an arm's tanks show by themselves, in the unit of the values.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArmSummary {
    /// Name.
    pub name: String,
    /// Number of tanks.
    pub tanks: usize,
    /// Mean; the geometric mean on the scale [`Scale::Log`]; none for scores.
    pub mean: Option<f64>,
    /// Standard deviation between tanks, of ln values on the scale [`Scale::Log`]; none for
    /// scores or a single tank.
    pub sd: Option<f64>,
    /// Median.
    pub median: f64,
    /// Smallest value.
    pub low: f64,
    /// Largest value.
    pub high: f64,
}

/// Ratio of two arms with its interval, on the scale [`Scale::Log`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ratio {
    /// Ratio of geometric means.
    pub value: f64,
    /// Its interval, none without a degree of freedom.
    pub interval: Option<Interval>,
}

/// One pair of arms: `of` compared with `against`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairComparison {
    /// The later arm of the list.
    pub of: String,
    /// The earlier one.
    pub against: String,
    /// `of` less `against`: of means, of mean ln values on the scale [`Scale::Log`], of medians
    /// for scores.
    pub difference: f64,
    /// The same as a ratio, on the scale [`Scale::Log`] only.
    pub ratio: Option<Ratio>,
    /// Pooled t with its interval.
    pub t: Outcome<TTest>,
    /// Exact test over all allocations; of means, or of midranks for scores.
    pub permutation: Outcome<Permutation>,
    /// Exact p adjusted for all pairs by Holm's method; none for a single pair.
    pub permutation_p_holm: Option<f64>,
    /// Everything this pair cannot show, in the order of importance.
    pub refusals: Vec<Refusal>,
}

/// All arms and all pairs of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// How values were compared.
    pub scale: Scale,
    /// Level of the intervals.
    pub level: f64,
    /// The arms, in the order given.
    pub arms: Vec<ArmSummary>,
    /// All pairs, later arm against earlier.
    pub pairs: Vec<PairComparison>,
}

/// Compares all pairs of arms. The first arm is usually the control.
///
/// # Errors
/// Refused for fewer than two arms, an arm without tanks, or a value of zero or less on the scale
/// [`Scale::Log`]; unusable for values that are no numbers or a level outside 0 to 1. A pair that
/// cannot be judged is no error: its `refusals` say why.
pub fn compare(arms: &[Arm], scale: Scale, level: f64) -> Result<Comparison, NoAnswer> {
    check_share("level", level)?;
    if arms.len() < 2 {
        return Err(Refusal::NoValues {
            what: "a second arm".into(),
        }
        .into());
    }
    for arm in arms {
        check(&arm.name, &arm.tanks)?;
        if scale == Scale::Log {
            positive(&format!("A value of {}", arm.name), &arm.tanks)?;
        }
    }
    let scaled: Vec<Vec<f64>> = arms.iter().map(|arm| on_scale(arm, scale)).collect();
    let summaries = arms
        .iter()
        .zip(&scaled)
        .map(|(arm, values)| summarise(arm, values, scale))
        .collect::<Result<_, NoAnswer>>()?;
    let mut pairs = Vec::new();
    for earlier in 0..arms.len() {
        for later in earlier + 1..arms.len() {
            let sides = [later, earlier].map(|i| Side {
                name: &arms[i].name,
                values: &scaled[i],
            });
            pairs.push(pair(&sides, scale, level)?);
        }
    }
    adjust(&mut pairs)?;
    Ok(Comparison {
        scale,
        level,
        arms: summaries,
        pairs,
    })
}

struct Side<'a> {
    name: &'a str,
    values: &'a [f64],
}

fn on_scale(arm: &Arm, scale: Scale) -> Vec<f64> {
    match scale {
        Scale::Log => arm.tanks.iter().map(|v| v.ln()).collect(),
        Scale::Linear | Scale::Ordinal => arm.tanks.clone(),
    }
}

fn summarise(arm: &Arm, scaled: &[f64], scale: Scale) -> Result<ArmSummary, NoAnswer> {
    let m = moments(&arm.name, scaled)?;
    let bound = |pick: fn(f64, f64) -> f64| arm.tanks.iter().copied().reduce(pick);
    let middle = median(&arm.name, &arm.tanks)?;
    Ok(ArmSummary {
        name: arm.name.clone(),
        tanks: m.n,
        mean: match scale {
            Scale::Log => Some(m.mean.exp()),
            Scale::Linear => Some(m.mean),
            Scale::Ordinal => None,
        },
        sd: match scale {
            Scale::Log | Scale::Linear => m.variance().map(f64::sqrt),
            Scale::Ordinal => None,
        },
        median: middle,
        low: bound(f64::min).unwrap_or(middle),
        high: bound(f64::max).unwrap_or(middle),
    })
}

fn pair(sides: &[Side<'_>; 2], scale: Scale, level: f64) -> Result<PairComparison, NoAnswer> {
    let [of, against] = sides;
    let t = judge(sides, scale, level)?;
    let permutation = Outcome::from_result(exact(of.values, against.values, scale))?;
    let difference = middle(of, scale)? - middle(against, scale)?;
    let ratio = (scale == Scale::Log).then(|| Ratio {
        value: difference.exp(),
        interval: t.estimated().map(|t| Interval {
            low: t.interval.low.exp(),
            high: t.interval.high.exp(),
            level,
        }),
    });
    let mut refusals: Vec<Refusal> = t.refused().into_iter().cloned().collect();
    refusals.extend(permutation.refused().cloned());
    let alpha = 1.0 - level;
    let smallest = permutation::smallest_two_sided(of.values.len(), against.values.len());
    if smallest > alpha * (1.0 + 1e-9) {
        refusals.push(Refusal::CannotReach { smallest, alpha });
    }
    Ok(PairComparison {
        of: of.name.into(),
        against: against.name.into(),
        difference,
        ratio,
        t,
        permutation,
        permutation_p_holm: None,
        refusals,
    })
}

/// The pooled t, where every arm has two tanks and the values have distances.
fn judge(sides: &[Side<'_>; 2], scale: Scale, level: f64) -> Result<Outcome<TTest>, Unusable> {
    let single: Vec<String> = sides
        .iter()
        .filter(|side| side.values.len() < 2)
        .map(|side| side.name.to_string())
        .collect();
    if !single.is_empty() {
        return Ok(Outcome::Refused(Refusal::OneTankPerArm { arms: single }));
    }
    if scale == Scale::Ordinal {
        return Ok(Outcome::Refused(Refusal::ScoresHaveNoMean));
    }
    let [of, against] = sides;
    Outcome::from_result(t::pooled(of.values, against.values, level))
}

/// Scores are replaced by their midranks, so that the test depends on their order alone.
fn exact(of: &[f64], against: &[f64], scale: Scale) -> Result<Permutation, NoAnswer> {
    if scale != Scale::Ordinal {
        return permutation::mean_difference(of, against);
    }
    let all: Vec<f64> = of.iter().chain(against).copied().collect();
    let ranks = permutation::midranks(&all);
    let (of_ranks, against_ranks) = ranks.split_at(of.len());
    permutation::mean_difference(of_ranks, against_ranks)
}

/// Mean, or median of scores.
fn middle(side: &Side<'_>, scale: Scale) -> Result<f64, NoAnswer> {
    match scale {
        Scale::Ordinal => median(side.name, side.values),
        Scale::Log | Scale::Linear => moments(side.name, side.values).map(|m| m.mean),
    }
}

fn adjust(pairs: &mut [PairComparison]) -> Result<(), Unusable> {
    if pairs.len() < 2 {
        return Ok(());
    }
    let with_p: Vec<usize> = (0..pairs.len())
        .filter(|i| pairs[*i].permutation.estimated().is_some())
        .collect();
    let p: Vec<f64> = with_p
        .iter()
        .filter_map(|i| pairs[*i].permutation.estimated().map(|e| e.p_two))
        .collect();
    for (at, adjusted) in with_p.into_iter().zip(multiplicity::holm(&p)?) {
        pairs[at].permutation_p_holm = Some(adjusted);
    }
    Ok(())
}
