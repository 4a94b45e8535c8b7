//! Salts: what a dose brings, what a stock solution holds, what to weigh for a target.

pub mod dose;
pub mod limits;
pub mod nnls;
pub mod recipe;
pub mod stock;
