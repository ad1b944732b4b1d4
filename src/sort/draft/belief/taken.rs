//! Sums of room, from which a mean and a spread are told.

use crate::solve::instance::RESOURCES;
use crate::sort::space;

/// Sums of what ewes of an age class take, by space type.
#[derive(Debug, Clone, Default)]
pub(super) struct Taken {
    pub(super) count: f64,
    sum: [[f64; RESOURCES]; space::TYPES],
    square: [[f64; RESOURCES]; space::TYPES],
}

impl Taken {
    pub(super) fn add(&mut self, room: &[[u32; RESOURCES]], weight: f64) {
        self.count += weight;
        for ((sum, square), room) in self.sum.iter_mut().zip(&mut self.square).zip(room) {
            for resource in 0..RESOURCES {
                let takes = f64::from(room[resource]);
                sum[resource] += weight * takes;
                square[resource] += weight * takes * takes;
            }
        }
    }

    pub(super) fn with(&mut self, other: &Self, weight: f64) {
        let weight = if other.count > 0.0 { weight / other.count } else { 0.0 };
        self.count += weight * other.count;
        for space_type in 0..space::TYPES {
            for resource in 0..RESOURCES {
                self.sum[space_type][resource] += weight * other.sum[space_type][resource];
                self.square[space_type][resource] += weight * other.square[space_type][resource];
            }
        }
    }

    pub(super) fn mean(&self) -> Vec<[f64; RESOURCES]> {
        self.sum.iter().map(|sum| sum.map(|sum| sum / self.count.max(f64::MIN_POSITIVE))).collect()
    }

    pub(super) fn spread(&self) -> Vec<[f64; RESOURCES]> {
        let mean = self.mean();
        let spread = |space_type: usize, resource: usize| {
            let of_squares = self.square[space_type][resource] / self.count.max(f64::MIN_POSITIVE);
            (of_squares - mean[space_type][resource] * mean[space_type][resource]).max(0.0).sqrt()
        };
        (0..space::TYPES).map(|kind| std::array::from_fn(|resource| spread(kind, resource))).collect()
    }
}
