//! The assembly for programs that edit: a timeline and a decision list.

pub mod decisions;
pub mod otio;
