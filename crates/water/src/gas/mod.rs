//! Carbon dioxide between water and air, and where it comes from.

pub mod air;
pub mod course;
pub mod kla;
pub mod supply;
