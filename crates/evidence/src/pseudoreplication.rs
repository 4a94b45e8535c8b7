//! What goes wrong when plants of one tank are counted as replicates.

use crate::summary::{check_share, count};
use crate::{NoAnswer, Refusal, Unusable, distributions};

/// How often a t test finds a difference between two equal treatments when each was given to
/// one tank and its `m` plants are counted as replicates.
///
/// `icc` is the intraclass correlation, the share of the variance that lies between tanks. The
/// difference of means then varies 1 + m icc / (1 - icc) times as much as the test believes:
/// P = P(|t(2m - 2)| > t_crit / sqrt(1 + m icc / (1 - icc))). Derived for the case p009; the
/// name of the error is Hurlbert's (1984, Ecological Monographs 54:187-211).
///
/// # Errors
/// Refused for fewer than two plants; unusable for an icc outside 0 to below 1, or an alpha
/// outside 0 to 1.
pub fn pseudoreplication_rate(m: usize, icc: f64, alpha: f64) -> Result<f64, NoAnswer> {
    check_share("alpha", alpha)?;
    if !(0.0..1.0).contains(&icc) {
        return Err(Unusable::OutOfRange {
            field: "icc".into(),
            value: icc.to_string(),
            accepted: "a number from 0 to below 1".into(),
        }
        .into());
    }
    if m < 2 {
        return Err(Refusal::NoFreedom {
            what: "the tank".into(),
            values: m,
            needed: 2,
        }
        .into());
    }
    let df = count(m - 1) * 2.0;
    let critical = distributions::t_two_sided_quantile(alpha, df);
    let inflation = 1.0 + count(m) * icc / (1.0 - icc);
    Ok(distributions::t_two_sided(critical / inflation.sqrt(), df))
}
