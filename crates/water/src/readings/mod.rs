//! From readings, which are intervals, to answers, which are intervals.

pub mod halton;
pub mod implied;
pub mod plausible;
