//! Recipes: what each effect, join and sequence takes.
//!
//! In: recipe files (YAML, built in or the project's own) and a model. Out: a
//! [`Library`] of checked recipes, and the [`Breakdown`] that they make of the
//! model: plates owed, demands, locked groups, passes at the desk.

mod breakdown;
mod check;
mod expand;
mod expression;
#[cfg(test)]
pub(crate) mod fixture;
mod length;
mod library;
mod page;
mod read;
mod schema;

pub use breakdown::{
    After, Breakdown, Demand, DemandKind, FilledRole, Group, GroupId, Owner, Pass, PassId, Priority,
};
pub use expand::{expand, serving};
pub use expression::{Expression, Values};
pub use library::{Entry, Library};
pub use page::{SCHEMA_PAGE, page};
pub use read::LARGEST;
pub use schema::{
    DemandRule, Derive, EffectWord, GroupOrder, Kind, PassRule, Quantity, Recipe, Role, Serves, SetUpRule,
    Wait, When, Word,
};

pub use length::share_out;
