//! Adjusting p-values when several outcomes are looked at.
//!
//! Name one primary outcome before the start; the rest are adjusted together. Case r073.

use crate::Unusable;
use crate::summary::count;

/// Holm's step-down adjustment (Holm 1979, Scandinavian Journal of Statistics 6:65-70, from
/// memory): controls the chance of any false finding. In the order given.
///
/// # Errors
/// Unusable for a p-value outside 0 to 1.
pub fn holm(p: &[f64]) -> Result<Vec<f64>, Unusable> {
    let order = ascending(p)?;
    let mut adjusted = vec![0.0; p.len()];
    let mut largest = 0.0_f64;
    for (rank, at) in order.iter().enumerate() {
        largest = largest.max((count(p.len() - rank) * p[*at]).min(1.0));
        adjusted[*at] = largest;
    }
    Ok(adjusted)
}

/// Each p-value times their number, at most 1. In the order given.
///
/// # Errors
/// Unusable for a p-value outside 0 to 1.
pub fn bonferroni(p: &[f64]) -> Result<Vec<f64>, Unusable> {
    ascending(p)?;
    Ok(p.iter().map(|v| (v * count(p.len())).min(1.0)).collect())
}

/// Benjamini and Hochberg 1995 (Journal of the Royal Statistical Society B 57:289-300, from
/// memory): controls the share of false findings among the findings. In the order given.
///
/// # Errors
/// Unusable for a p-value outside 0 to 1.
pub fn benjamini_hochberg(p: &[f64]) -> Result<Vec<f64>, Unusable> {
    let order = ascending(p)?;
    let mut adjusted = vec![0.0; p.len()];
    let mut smallest = 1.0_f64;
    for (rank, at) in order.iter().enumerate().rev() {
        smallest = smallest.min(count(p.len()) / count(rank + 1) * p[*at]);
        adjusted[*at] = smallest;
    }
    Ok(adjusted)
}

/// Places of the p-values from the smallest, after checking them.
fn ascending(p: &[f64]) -> Result<Vec<usize>, Unusable> {
    if let Some(at) = p.iter().position(|v| !(0.0..=1.0).contains(v)) {
        return Err(Unusable::OutOfRange {
            field: format!("p-value {}", at + 1),
            value: p[at].to_string(),
            accepted: "a number from 0 to 1".into(),
        });
    }
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]));
    Ok(order)
}
