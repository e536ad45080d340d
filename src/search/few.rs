//! Owns a short list that is copied very often: a few plain values side by side, without a place of their own in
//! memory. It knows nothing of what they are.

use std::ops::{Deref, DerefMut};

use tinyvec::TinyVec;

/// A list that copies its values at a stroke; up to ten of them need no memory of their own.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Few<T: Copy + Default>(TinyVec<[T; 10]>);

impl<T: Copy + Default> Few<T> {
    /// The same value so many times.
    #[must_use]
    pub fn of(value: T, count: usize) -> Self {
        std::iter::repeat_n(value, count).collect()
    }

    /// Puts one more at the end.
    pub fn push(&mut self, value: T) {
        self.0.push(value);
    }
}

impl<T: Copy + Default> Deref for Few<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.0
    }
}

impl<T: Copy + Default> DerefMut for Few<T> {
    fn deref_mut(&mut self) -> &mut [T] {
        &mut self.0
    }
}

impl<T: Copy + Default> FromIterator<T> for Few<T> {
    fn from_iter<I: IntoIterator<Item = T>>(values: I) -> Self {
        Few(values.into_iter().collect())
    }
}
