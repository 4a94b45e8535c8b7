//! Why a water cannot be solved.

/// A water that has no answer, with the field, the value and what is accepted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Unsolvable {
    /// A field is not a finite number.
    #[error("{field} must be a finite number, not {value}")]
    NotFinite {
        /// Name of the field, with its unit.
        field: &'static str,
        /// What was given.
        value: f64,
    },
    /// A field lies outside what the relations hold for.
    #[error("{field} {value} is out of range; {low} to {high} is accepted")]
    OutOfRange {
        /// Name of the field, with its unit.
        field: &'static str,
        /// What was given.
        value: f64,
        /// Lowest accepted.
        low: f64,
        /// Highest accepted.
        high: f64,
    },
    /// More dissolved salt than the activity model holds for.
    #[error(
        "ionic strength is {ionic_strength_mol_kg:.4} mol/kg; fresh water up to {limit} is accepted"
    )]
    TooSalty {
        /// What the ions come to.
        ionic_strength_mol_kg: f64,
        /// Highest accepted.
        limit: f64,
    },
    /// Bases other than carbonate already make more alkalinity than was titrated.
    #[error(
        "ph {ph} and alkalinity_meq_l {alkalinity_meq_l} contradict each other: without any \
         carbonate this water already holds {other_meq_l:.4} meq/L"
    )]
    NoCarbonateLeft {
        /// pH given.
        ph: f64,
        /// Alkalinity given, meq/L.
        alkalinity_meq_l: f64,
        /// Alkalinity that is not carbonate, meq/L.
        other_meq_l: f64,
    },
    /// No pH from 2 to 12 fits.
    #[error(
        "no pH from {low} to {high} gives alkalinity_meq_l {alkalinity_meq_l} with this carbon; \
         check alkalinity and carbon"
    )]
    NoPh {
        /// Alkalinity given, meq/L.
        alkalinity_meq_l: f64,
        /// Lowest pH tried.
        low: f64,
        /// Highest pH tried.
        high: f64,
    },
    /// The iteration did not settle.
    #[error("no solution after {iterations} passes (relative residual {residual:.1e})")]
    NotConverged {
        /// Passes made.
        iterations: u32,
        /// Largest relative imbalance left.
        residual: f64,
    },
    /// A calculation needs something that was not given.
    #[error("{what} is needed: {why}")]
    Missing {
        /// What is missing.
        what: &'static str,
        /// What it is for.
        why: &'static str,
    },
}

/// `value` if it is finite and within `low` to `high`.
pub(crate) fn within(
    field: &'static str,
    value: f64,
    low: f64,
    high: f64,
) -> Result<f64, Unsolvable> {
    if !value.is_finite() {
        return Err(Unsolvable::NotFinite { field, value });
    }
    if value < low || value > high {
        return Err(Unsolvable::OutOfRange {
            field,
            value,
            low,
            high,
        });
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_name_field_value_and_range() {
        assert_eq!(
            within("temperature_c", 60.0, 5.0, 35.0)
                .unwrap_err()
                .to_string(),
            "temperature_c 60 is out of range; 5 to 35 is accepted"
        );
        assert_eq!(
            within("ph", f64::NAN, 3.0, 11.0).unwrap_err().to_string(),
            "ph must be a finite number, not NaN"
        );
    }
}
