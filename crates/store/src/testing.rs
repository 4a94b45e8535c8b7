//! Generators for property tests.
