//! The packet for other programs, in open formats.

pub mod calendar;
pub mod csv;
pub mod dot;
pub mod json;
pub mod timeline;
