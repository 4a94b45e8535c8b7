//! What a side-by-side trial of a few tanks can and cannot show.
//!
//! Pure statistics: numbers in, numbers out; no files, no clock, no randomness. The unit of
//! replication is the **tank**, because the tank is what gets the treatment (Hurlbert 1984,
//! Ecological Monographs 54:187-211). Plants and readings in one tank are averaged first; every
//! function here that compares arms takes one number per tank.
//!
//! Two ways of not answering are kept apart:
//! * [`Refusal`] is a result. The input is fine and the honest answer is "this cannot be said",
//!   with the reason in plain words and a stable code.
//! * [`Unusable`] is an error. The input itself is broken: not a number, lengths that differ.
//!
//! ```text
//! growth       masses of a clump  -> relative growth rate per day
//! compare      one number per tank -> difference between arms, interval, exact p, or a refusal
//! t            one-sample, paired, pooled and Welch t
//! permutation  exact tests over all allocations, sign flips and ranks
//! matching     hidden things named rightly -> how far chance alone goes
//! power        what a plan of n tanks per arm could detect
//! anova, regression, response_ratio, multiplicity, pseudoreplication
//! cases, references   the published and computed tables this crate is held against
//! ```

pub mod anova;
pub mod cases;
pub mod compare;
mod decimal;
pub mod distributions;
pub mod growth;
pub mod matching;
pub mod multiplicity;
pub mod noncentral_t;
pub mod permutation;
pub mod power;
pub mod pseudoreplication;
pub mod references;
mod refusal;
pub mod regression;
pub mod response_ratio;
mod root;
pub mod studentized_range;
pub mod summary;
pub mod t;

pub use refusal::{NoAnswer, Outcome, Refusal, Unusable};
pub use summary::Interval;
