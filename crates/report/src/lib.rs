//! Figures of answers and what is published of them.

pub mod figures;
