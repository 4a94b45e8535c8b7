//! Work that takes a while: what is done of it, a flag that stops it, and the few threads it runs on.
//!
//! ```text
//! Jobs --start--> waiting --> running --> done | failed | broken (a panic) | cancelled
//!                                 \-- Progress, handed to the work: told by it, read by pages
//! ```
//! The work calls [`Progress::at`] between its pieces and hands on the [`Cancelled`] it may get;
//! whoever writes files makes them ready under another name first, so that stopping between two
//! pieces leaves nothing half-made. Nothing is stopped by force.

mod jobs;
mod progress;

pub use jobs::{Job, JobId, Jobs, NotStarted, State, Stop};
pub use progress::{Cancelled, Progress, Seen};
