//! Craft: optics, motion, sun, power. Pure functions, typed in units, each with
//! its source in its doc comment and a test against a published value.

pub mod sun;
