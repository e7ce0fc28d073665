//! Both plans on sequences built by hand, and on random ones.

mod facts;
pub(crate) mod fixture;
mod levels;
pub(crate) mod random;
#[cfg(test)]
mod scale;
pub(crate) mod verify;
mod written;
