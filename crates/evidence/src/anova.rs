//! One-way analysis of variance, and Tukey's intervals for all pairs of groups.
//!
//! Checked against certified values of NIST StRD (cases p001 and p005, the latter with 13 equal
//! leading digits) and R's `aov` and `TukeyHSD` (r008, r009, r016).

use serde::Serialize;

use crate::summary::{check, check_share, count, sum};
use crate::{Interval, NoAnswer, Refusal, decimal, distributions, studentized_range};

/// One line per group of a one-way table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// Name.
    pub name: String,
    /// Number of values.
    pub n: usize,
    /// Mean.
    pub mean: f64,
}

/// Table of a one-way analysis of variance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Anova {
    /// The groups, in the order given.
    pub groups: Vec<Group>,
    /// Groups less one.
    pub df_between: usize,
    /// Squares between groups.
    pub ss_between: f64,
    /// Mean square between groups.
    pub ms_between: f64,
    /// Values less groups.
    pub df_within: usize,
    /// Squares within groups.
    pub ss_within: f64,
    /// Mean square within groups.
    pub ms_within: f64,
    /// Ratio of the mean squares.
    pub f: f64,
    /// Its p-value.
    pub p: f64,
    /// Share of the squares that lies between groups.
    pub r2: f64,
    /// Standard deviation within groups.
    pub residual_sd: f64,
}

/// One-way analysis of variance of named groups of values, one value per tank.
///
/// # Errors
/// Refused for fewer than two groups, an empty group, no degree of freedom within groups, or no
/// spread within groups; unusable for values that are no numbers.
pub fn one_way(groups: &[(String, Vec<f64>)]) -> Result<Anova, NoAnswer> {
    if groups.len() < 2 {
        return Err(Refusal::NoFreedom {
            what: "the list of groups".into(),
            values: groups.len(),
            needed: 2,
        }
        .into());
    }
    for (name, values) in groups {
        check(name, values)?;
        if values.is_empty() {
            return Err(Refusal::NoValues { what: name.clone() }.into());
        }
    }
    let all: Vec<f64> = groups.iter().flat_map(|(_, v)| v.iter().copied()).collect();
    let (n, k) = (all.len(), groups.len());
    if n == k {
        return Err(Refusal::NoFreedom {
            what: "the groups together".into(),
            values: n,
            needed: k + 1,
        }
        .into());
    }
    let shifted = decimal::offsets(&all);
    let grand = sum(shifted.iter().copied()) / count(n);
    let (mut between, mut within, mut table) = (Vec::new(), Vec::new(), Vec::new());
    let mut rest = shifted.as_slice();
    for (name, values) in groups {
        let (these, others) = rest.split_at(values.len());
        rest = others;
        let mean = sum(these.iter().copied()) / count(these.len());
        between.push(count(these.len()) * (mean - grand) * (mean - grand));
        within.extend(these.iter().map(|v| (v - mean) * (v - mean)));
        table.push(Group {
            name: name.clone(),
            n: these.len(),
            mean: all[0] + mean,
        });
    }
    finish(table, n, sum(between), sum(within), &shifted)
}

fn finish(
    groups: Vec<Group>,
    n: usize,
    ss_between: f64,
    ss_within: f64,
    shifted: &[f64],
) -> Result<Anova, NoAnswer> {
    let (df_between, df_within) = (groups.len() - 1, n - groups.len());
    let ms_between = ss_between / count(df_between);
    let ms_within = ss_within / count(df_within);
    if crate::summary::only_rounding(ms_within.sqrt(), &[shifted]) {
        return Err(Refusal::ZeroSpread {
            what: "each group".into(),
        }
        .into());
    }
    let f = ms_between / ms_within;
    Ok(Anova {
        groups,
        df_between,
        ss_between,
        ms_between,
        df_within,
        ss_within,
        ms_within,
        f,
        p: distributions::f_upper(f, count(df_between), count(df_within)),
        r2: ss_between / (ss_between + ss_within),
        residual_sd: ms_within.sqrt(),
    })
}

/// Difference of two groups with an interval that holds for all pairs at once.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairwiseDifference {
    /// Group whose mean comes first.
    pub of: String,
    /// Group whose mean is subtracted.
    pub against: String,
    /// Difference of means.
    pub difference: f64,
    /// Simultaneous interval.
    pub interval: Interval,
    /// p-value adjusted for all pairs.
    pub p: f64,
}

/// Tukey's intervals, in Kramer's form for groups of unequal size. Later groups against earlier
/// ones, in the order of R's `TukeyHSD`.
///
/// # Errors
/// Unusable for a level outside 0 to 1.
pub fn tukey(anova: &Anova, level: f64) -> Result<Vec<PairwiseDifference>, NoAnswer> {
    check_share("level", level)?;
    let (k, df) = (anova.groups.len(), count(anova.df_within));
    let q = studentized_range::quantile(1.0 - level, k, df);
    let mut pairs = Vec::new();
    for (i, against) in anova.groups.iter().enumerate() {
        for of in &anova.groups[i + 1..] {
            let sizes = 1.0 / count(of.n) + 1.0 / count(against.n);
            let se = (anova.ms_within / 2.0 * sizes).sqrt();
            let difference = of.mean - against.mean;
            pairs.push(PairwiseDifference {
                of: of.name.clone(),
                against: against.name.clone(),
                difference,
                interval: Interval {
                    low: difference - q * se,
                    high: difference + q * se,
                    level,
                },
                p: studentized_range::upper(difference.abs() / se, k, df),
            });
        }
    }
    Ok(pairs)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(groups: &[&[f64]]) -> &'static str {
        let named: Vec<(String, Vec<f64>)> = groups
            .iter()
            .enumerate()
            .map(|(i, v)| (format!("arm {i}"), v.to_vec()))
            .collect();
        match one_way(&named) {
            Ok(_) => "given",
            Err(NoAnswer::Refused(refusal)) => refusal.code(),
            Err(NoAnswer::Unusable(_)) => "unusable",
        }
    }

    #[test]
    fn what_cannot_be_said_is_refused() {
        assert_eq!(code(&[&[1.0, 2.0]]), "no_freedom");
        assert_eq!(code(&[&[1.0], &[2.0]]), "no_freedom");
        assert_eq!(code(&[&[1.0, 2.0], &[]]), "no_values");
        assert_eq!(code(&[&[1.0, 1.0], &[2.0, 2.0]]), "zero_spread");
        assert_eq!(code(&[&[1.0, f64::INFINITY], &[2.0]]), "unusable");
        assert_eq!(code(&[&[1.0, 1.1], &[2.0]]), "given");
    }

    /// Two groups: F is the square of the pooled t and Tukey's p is the t's p (algebra).
    #[test]
    fn two_groups_are_a_t_test() -> Result<(), NoAnswer> {
        let (x, y) = (vec![1.1, 1.9, 1.4], vec![0.9, 1.2, 0.7, 1.0]);
        let t = crate::t::pooled(&y, &x, 0.95)?;
        let anova = one_way(&[("x".into(), x), ("y".into(), y)])?;
        assert!((anova.f / (t.t * t.t) - 1.0).abs() < 1e-12);
        assert!((anova.p / t.p - 1.0).abs() < 1e-10);
        let pair = &tukey(&anova, 0.95)?[0];
        assert!((pair.p - t.p).abs() < 1e-10, "{} {}", pair.p, t.p);
        assert!((pair.interval.low - t.interval.low).abs() < 1e-9);
        Ok(())
    }
}
