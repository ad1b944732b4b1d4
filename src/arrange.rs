//! Sorting with one body of code for all lists.
//!
//! The standard library's sort is compiled anew for each kind of list and each comparison: together a fifth of the
//! engine's code, which every tablet has to load. Here the places of a list are sorted by one body of code, and the
//! list is then put in their order. It is slower by a call for each comparison, which no list that is sorted once
//! feels; inner loops keep the standard sort.

use std::cmp::Ordering;

/// Sorting of a list; what is equal stays in its order.
pub(crate) trait Arrange<T> {
    /// Sorts by a comparison.
    fn arrange_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// Sorts by a key.
    fn arrange_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.arrange_by(|one, other| key(one).cmp(&key(other)));
    }
}

impl<T> Arrange<T> for [T] {
    fn arrange_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let places = sorted(self.len(), &mut |one, other| compare(&self[one], &self[other]));
        put(places, &mut |one, other| self.swap(one, other));
    }
}

/// Sorts numbered values, least first, and of equal ones the lower number: what inner loops sort again and again.
pub(crate) fn ascend(keyed: &mut [(f64, usize)]) {
    keyed.sort_unstable_by(by_value);
}

/// The order of [`ascend`].
pub(crate) fn by_value(one: &(f64, usize), other: &(f64, usize)) -> Ordering {
    one.0.total_cmp(&other.0).then(one.1.cmp(&other.1))
}

/// The places of a list in the order of what stands there.
fn sorted(count: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..count).collect();
    places.sort_by(|&one, &other| compare(one, other));
    places
}

/// Puts what stands at `places[at]` at `at`, ring by ring.
fn put(mut places: Vec<usize>, swap: &mut dyn FnMut(usize, usize)) {
    for start in 0..places.len() {
        let mut at = start;
        loop {
            let from = std::mem::replace(&mut places[at], at);
            if from == start {
                break;
            }
            swap(at, from);
            at = from;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Arrange;
    use proptest::prelude::*;

    proptest! {
        /// As the standard library sorts, also where much is equal.
        #[test]
        fn a_list_is_sorted_as_the_standard_library_sorts_it(list in prop::collection::vec((0_u8..9, any::<u16>()), 0..60)) {
            let mut standard = list.clone();
            standard.sort_by_key(|&(key, _)| key);
            let mut ours = list.clone();
            ours.arrange_by_key(|&(key, _)| key);
            prop_assert_eq!(&ours, &standard);
            let mut ours = list;
            ours.arrange_by(|one, other| other.0.cmp(&one.0));
            standard.sort_by_key(|one| std::cmp::Reverse(one.0));
            prop_assert_eq!(ours.iter().map(|one| one.0).collect::<Vec<_>>(), standard.iter().map(|one| one.0).collect::<Vec<_>>());
        }
    }
}
