//! The chemistry of fresh water in a planted tank.
//!
//! Pure: numbers in, numbers out; no files, no clock, no randomness. Major-ion water of 5 to
//! 35 degC and an ionic strength up to 0.03 mol/kg. Alkalinity, dissolved inorganic carbon and the
//! totals of the ions are what is conserved; pH, free CO2 and saturation follow from them.

pub mod activity;
pub mod constants;
mod error;
pub mod relations;
pub mod solve;
pub mod speciate;
pub mod species;
pub mod state;
mod water;

pub use error::Unsolvable;
pub use solve::{Given, solve, solve_with};
pub use state::State;
pub use water::Water;
