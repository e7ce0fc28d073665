//! Craft: optics, motion, sun, power, timecode. Pure functions, typed in units, each with
//! its source in its doc comment and a test against a published value.
//!
//! In: quantities. Out: quantities, always finite; where physics gives no answer
//! (a field of half the sphere on a flat picture, a sun that never rises) the
//! answer is `None`.

pub mod aim;
pub mod blur;
pub mod crop;
pub mod flicker;
pub mod focus;
pub mod frames;
pub mod ground;
pub mod join;
pub mod motion;
pub mod optics;
pub mod power;
pub mod retime;
pub mod screen;
pub mod shutter;
pub mod sun;
pub mod timecode;

/// Standard acceleration of free fall, m/s² (3rd CGPM, 1901).
pub const GRAVITY: f64 = 9.80665;
