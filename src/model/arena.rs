//! Lists whose places are typed: a `PlateId` can only ever ask the plates.

use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// An identity that an [`Arena`] gives out.
pub trait Id: Copy {
    /// From a place in the list.
    fn from_index(index: usize) -> Self;
    /// The place in the list.
    fn index(self) -> usize;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
        pub struct $name(u32);
        impl $crate::model::arena::Id for $name {
            fn from_index(index: usize) -> Self { Self(index as u32) }
            fn index(self) -> usize { self.0 as usize }
        }
    )*};
}
pub(crate) use ids;

/// A list that hands out identities of type `I` and never forgets an item, so
/// an identity always finds its item.
#[derive(Debug, Clone)]
pub struct Arena<I, T> {
    items: Vec<T>,
    id: PhantomData<I>,
}

impl<I, T> Default for Arena<I, T> {
    fn default() -> Self {
        Self { items: Vec::new(), id: PhantomData }
    }
}

impl<I: Id, T> Arena<I, T> {
    /// Adds an item and gives its identity.
    pub fn push(&mut self, item: T) -> I {
        self.items.push(item);
        I::from_index(self.items.len() - 1)
    }

    /// How many items there are.
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// Items with their identities, in the order they were added.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (I, &T)> + ExactSizeIterator {
        self.items.iter().enumerate().map(|(at, item)| (I::from_index(at), item))
    }

    /// The identities, in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = I> + ExactSizeIterator + use<I, T> {
        (0..self.items.len()).map(I::from_index)
    }

    /// The items, in order.
    pub fn values(&self) -> std::slice::Iter<'_, T> {
        self.items.iter()
    }
}

#[expect(clippy::indexing_slicing, reason = "identities come from push, and items are never removed")]
impl<I: Id, T> Index<I> for Arena<I, T> {
    type Output = T;
    fn index(&self, id: I) -> &T {
        &self.items[id.index()]
    }
}

#[expect(clippy::indexing_slicing, reason = "identities come from push, and items are never removed")]
impl<I: Id, T> IndexMut<I> for Arena<I, T> {
    fn index_mut(&mut self, id: I) -> &mut T {
        &mut self.items[id.index()]
    }
}
