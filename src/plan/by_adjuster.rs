//! Owns lists that have one value for each adjuster of a bike. They are asked by adjuster alone, so that no place of
//! another list is taken for one of theirs.

use std::ops::{Index, IndexMut};

use super::{AdjusterId, Bike};
use crate::search::Few;

/// One value for each adjuster of a bike.
///
/// # Panics
/// Asking with an adjuster of another bike, one that has more adjusters.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct ByAdjuster<T>(Vec<T>);

impl<T> ByAdjuster<T> {
    /// What each adjuster of a bike has.
    #[must_use]
    pub fn of(bike: &Bike, value: impl FnMut(AdjusterId) -> T) -> Self {
        ByAdjuster(bike.ids().map(value).collect())
    }

    /// The values, in the bike's order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = &T> {
        self.0.iter()
    }

    /// The values, in the bike's order, to be changed.
    pub fn iter_mut(&mut self) -> impl ExactSizeIterator<Item = &mut T> {
        self.0.iter_mut()
    }
}

impl<T> Index<AdjusterId> for ByAdjuster<T> {
    type Output = T;

    #[expect(
        clippy::indexing_slicing,
        reason = "a bike alone gives out its ids, and no adjuster is taken away"
    )]
    fn index(&self, id: AdjusterId) -> &T {
        &self.0[id.index()]
    }
}

impl<T> IndexMut<AdjusterId> for ByAdjuster<T> {
    #[expect(
        clippy::indexing_slicing,
        reason = "a bike alone gives out its ids, and no adjuster is taken away"
    )]
    fn index_mut(&mut self, id: AdjusterId) -> &mut T {
        &mut self.0[id.index()]
    }
}

/// One plain value for each adjuster of a bike, in a list that is copied very often.
///
/// # Panics
/// Asking with an adjuster of another bike, one that has more adjusters.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct FewByAdjuster<T: Copy + Default>(Few<T>);

impl<T: Copy + Default> FewByAdjuster<T> {
    /// What each adjuster of a bike has.
    #[must_use]
    pub fn of(bike: &Bike, value: impl FnMut(AdjusterId) -> T) -> Self {
        FewByAdjuster(bike.ids().map(value).collect())
    }

    /// The same for every adjuster, made of what it has.
    #[must_use]
    pub fn map<U: Copy + Default>(&self, value: impl FnMut(T) -> U) -> FewByAdjuster<U> {
        FewByAdjuster(self.0.iter().copied().map(value).collect())
    }

    /// The values, in the bike's order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = &T> {
        self.0.iter()
    }
}

impl<T: Copy + Default> FewByAdjuster<Option<T>> {
    /// What every adjuster has, where all of them have something.
    #[must_use]
    pub fn all(&self) -> Option<FewByAdjuster<T>> {
        self.0.iter().copied().collect::<Option<Few<T>>>().map(FewByAdjuster)
    }
}

impl<T: Copy + Default> Index<AdjusterId> for FewByAdjuster<T> {
    type Output = T;

    #[expect(
        clippy::indexing_slicing,
        reason = "a bike alone gives out its ids, and no adjuster is taken away"
    )]
    fn index(&self, id: AdjusterId) -> &T {
        &self.0[id.index()]
    }
}

impl<T: Copy + Default> IndexMut<AdjusterId> for FewByAdjuster<T> {
    #[expect(
        clippy::indexing_slicing,
        reason = "a bike alone gives out its ids, and no adjuster is taken away"
    )]
    fn index_mut(&mut self, id: AdjusterId) -> &mut T {
        &mut self.0[id.index()]
    }
}
