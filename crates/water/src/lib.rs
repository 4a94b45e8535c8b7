//! The chemistry of fresh water in a planted tank.
//!
//! Pure: numbers in, numbers out; no files, no clock, no randomness. Major-ion water of 5 to
//! 35 degC and an ionic strength up to 0.03 mol/kg. Alkalinity, dissolved inorganic carbon and the
//! totals of the ions are what is conserved; pH, free CO2 and saturation follow from them.
//!
//! ```text
//! water, solve, state   an analysis and one of pH, carbon, pCO2, CO2 -> everything
//! closed                mixing, warming, CO2, nitrification, urea, acids
//! gas                   air, exchange, kLa from a pH series, cylinder and ferment
//! ammonia, oxygen       un-ionised share, published criteria; saturation
//! salts                 doses, stock solutions, recipes, blends
//! readings              what intervals of readings imply; which reading is the odd one
//! batch                 the same for tables of rows
//! relations             published formulas, one file per source
//! references            the tables this crate is held against
//! ```

pub mod activity;
pub mod ammonia;
pub mod batch;
pub mod closed;
pub mod constants;
mod error;
pub mod gas;
pub mod oxygen;
pub mod readings;
pub mod references;
pub mod relations;
pub mod salts;
pub mod solve;
pub mod speciate;
pub mod species;
pub mod state;
mod water;

pub use closed::{Change, Closed, Part};
pub use error::Unsolvable;
pub use solve::{Given, solve, solve_with};
pub use state::State;
pub use water::Water;
