//! Both plans on sequences built by hand, and on random ones.

mod facts;
pub(crate) mod fixture;
mod random;
pub(crate) mod verify;
