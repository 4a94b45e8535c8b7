//! One file per word of the map in [`crate::router`].
