//! Figures of answers and what is published of them.

pub mod figures;
pub mod frames;
pub mod update;
