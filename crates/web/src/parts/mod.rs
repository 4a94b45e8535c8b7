//! The pieces every page is built from. Each is a function or a small builder that gives markup;
//! text handed in is always escaped.

pub mod button;
pub mod disclosure;
pub mod empty;
pub mod fields;
pub mod figure;
pub mod findings;
pub mod form;
pub mod icon;
pub mod interval;
pub mod jot;
pub mod notice;
pub mod qr;
pub mod series;
pub mod shell;
pub mod table;
pub mod tabs;
