//! The set-up of a trial: a new trial, the overview, one form per kind of record.

mod blank;
mod cautions;
mod choices;
pub mod earlier;
pub mod edit;
mod forms;
mod glance;
mod kit;
mod lists;
pub mod new_trial;
pub mod next;
pub mod overview;
mod plant_facts;
mod reader;
mod tank_card;
pub mod withdraw;
mod zone;

pub(crate) use choices::{GROWN, ORIGIN};
