//! A condition score is a measurement: how far the ewe may be from the figure in the book.
//!
//! Prior: ewes of one class lie about their mean with a known spread. Evidence: one score, or two by two
//! people. Both are normal, so that precisions (inverse squares) add:
//!
//! ```text
//! 1 / s² = 1 / S² + Σ 1 / e²         mean = s² (m / S² + Σ score / e²)
//! ```
//!
//! `S` spread within the class, `m` its mean, `e` error of a score, `s` what is left. Two scores share the
//! class's pull towards its mean once, not twice. Two scores by one person share that person's habit too, so
//! the second counts for nothing more than a check; average them before.

use crate::flock::Score;

/// Error of a score on half points, rounding included: derived from repeatabilities of 0.64 to 0.84
/// (Shands et al. 2009, year from memory).
const HALF_POINT_ERROR: f64 = 0.25;
/// Error of a score on quarter points, likewise (Shands et al. 2009, year from memory).
const QUARTER_POINT_ERROR: f64 = 0.21;
/// Spread of condition within an age class: derived from Semakula et al. 2020.
pub const SPREAD_IN_CLASS: f64 = 0.35;
/// Standard deviations that hold nine in ten of a normal (any table of it, for example Fisher 1925).
pub const NINE_IN_TEN: f64 = 1.645;

/// The steps in which a person scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// 2, 2.5, 3.
    Half,
    /// 2.25, 2.5, 2.75.
    Quarter,
}

impl Step {
    /// The step that a score shows: a score between halves was made in quarters; any other may be either,
    /// and is taken for a half, the coarser.
    pub fn shown_by(score: Score) -> Self {
        if score.on_a_half() { Self::Half } else { Self::Quarter }
    }

    /// Standard deviation of a score about the truth, rounding included.
    pub const fn error(self) -> f64 {
        match self {
            Self::Half => HALF_POINT_ERROR,
            Self::Quarter => QUARTER_POINT_ERROR,
        }
    }
}

/// What is believed of a ewe's condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// The likeliest figure.
    pub mean: f64,
    /// Its standard deviation.
    pub sd: f64,
}

impl Belief {
    /// A ewe of a class before anybody has felt her.
    pub const fn of_class(mean: f64) -> Self {
        Self { mean, sd: SPREAD_IN_CLASS }
    }

    /// The same after a score; a second by another person is put in by calling this again.
    #[must_use]
    pub fn after(self, score: f64, step: Step) -> Self {
        let (prior, evidence) = (1.0 / (self.sd * self.sd), 1.0 / (step.error() * step.error()));
        let variance = 1.0 / (prior + evidence);
        Self { mean: variance * (self.mean * prior + score * evidence), sd: variance.sqrt() }
    }

    /// How much of a score's distance from the mean is believed: 0 to 1.
    pub fn weight_of(self, step: Step) -> f64 {
        let variance = self.sd * self.sd;
        variance / (variance + step.error() * step.error())
    }

    /// The chance that she is truly below a score.
    pub fn chance_below(self, score: f64) -> f64 {
        0.5 * (1.0 + libm::erf((score - self.mean) / self.sd / core::f64::consts::SQRT_2))
    }

    /// Edges that hold her nine times in ten, within the scale.
    pub fn edges(self) -> [f64; 2] {
        [(self.mean - NINE_IN_TEN * self.sd).max(1.0), (self.mean + NINE_IN_TEN * self.sd).min(5.0)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_table_of_one_score_is_met() {
        // The error model's own table: share believed 0.67 and 0.73, left over 0.20 and 0.18.
        let class = Belief::of_class(3.0);
        for (step, share, left) in [(Step::Half, 0.67, 0.20), (Step::Quarter, 0.73, 0.18)] {
            assert!((class.weight_of(step) - share).abs() < 0.01);
            assert!((class.after(2.5, step).sd - left).abs() < 0.005);
        }
        let scored = |score| class.after(score, Step::Half);
        assert!((scored(2.5).mean - 2.67).abs() < 0.005);
        for (score, chance) in [(2.5, 0.20), (2.0, 0.82), (3.0, 0.01)] {
            assert!((scored(score).chance_below(2.5) - chance).abs() < 0.01, "{score}");
        }
    }

    #[test]
    fn two_people_say_more_than_one_in_either_order() {
        let class = Belief::of_class(3.0);
        let one = class.after(2.5, Step::Half);
        let both = one.after(2.75, Step::Quarter);
        let turned = class.after(2.75, Step::Quarter).after(2.5, Step::Half);
        assert!((both.mean - turned.mean).abs() < 1e-12 && (both.sd - turned.sd).abs() < 1e-12);
        assert!(both.sd < one.sd);
        // By hand: precisions 1/0.35², 1/0.25², 1/0.21² are 8.163, 16, 22.676.
        let by_hand = (3.0 * 8.163_265 + 2.5 * 16.0 + 2.75 * 22.675_737) / (8.163_265 + 16.0 + 22.675_737);
        assert!((both.mean - by_hand).abs() < 1e-6);
    }

    #[test]
    fn edges_stay_on_the_scale() {
        assert!((Belief { mean: 1.1, sd: 0.3 }.edges()[0] - 1.0).abs() < f64::EPSILON);
        assert!((Belief { mean: 4.9, sd: 0.3 }.edges()[1] - 5.0).abs() < f64::EPSILON);
    }
}
