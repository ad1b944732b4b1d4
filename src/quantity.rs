//! Quantities whose unit stands in the type, so that a kilogram is never added to a metre.
//!
//! A raw `f64` appears only inside the body of an equation; it enters and leaves through these types.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $decimals:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// The unit, as printed after a figure.
            pub const UNIT: &'static str = $unit;

            /// The quantity of `value` units; the caller vouches that it is finite.
            pub const fn new(value: f64) -> Self {
                Self(value)
            }

            /// The bare figure, for the body of an equation.
            pub const fn value(self) -> f64 {
                self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:.*} {}", f.precision().unwrap_or($decimals), self.0, $unit)
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }
    };
}

quantity!(
    /// Live weight or the weight of a litter.
    Kg, "kg", 1
);
quantity!(
    /// Dry matter eaten in a day.
    KgDmPerDay, "kg DM a day", 2
);
quantity!(
    /// Metabolisable energy needed or eaten in a day.
    MjPerDay, "MJ a day", 1
);
quantity!(
    /// Energy density of a ration.
    MjPerKgDm, "MJ a kg DM", 2
);
quantity!(
    /// Metabolisable protein needed or eaten in a day, or live weight gained.
    GramPerDay, "g a day", 0
);
quantity!(
    /// Protein density of a ration.
    GramPerKgDm, "g a kg DM", 0
);
quantity!(
    /// Dry matter in feed as it lies in the store.
    GramPerKg, "g a kg fresh", 0
);
quantity!(
    /// Copper in dry matter.
    MgPerKgDm, "mg a kg DM", 1
);
quantity!(
    /// Rate of breakdown or of outflow.
    PerHour, "an hour", 3
);
quantity!(
    /// Feed as it lies in the store, eaten in a day.
    KgPerDay, "kg a day", 2
);
quantity!(
    /// Price of feed as it lies in the store; a hundredth of its money is called a penny, p.
    PricePerTonne, "a tonne", 0
);
quantity!(
    /// Length of feed face.
    Metre, "m", 2
);
quantity!(
    /// Floor area.
    SquareMetre, "m²", 2
);

impl Div<KgDmPerDay> for MjPerDay {
    type Output = MjPerKgDm;
    fn div(self, intake: KgDmPerDay) -> MjPerKgDm {
        MjPerKgDm(self.0 / intake.0)
    }
}

impl Div<KgDmPerDay> for GramPerDay {
    type Output = GramPerKgDm;
    fn div(self, intake: KgDmPerDay) -> GramPerKgDm {
        GramPerKgDm(self.0 / intake.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_print_with_their_unit() {
        assert_eq!(Kg::new(70.0).to_string(), "70.0 kg");
        assert_eq!(format!("{:.2}", MjPerDay::new(16.666)), "16.67 MJ a day");
    }

    #[test]
    fn energy_over_intake_is_density() {
        assert_eq!(MjPerDay::new(15.0) / KgDmPerDay::new(1.5), MjPerKgDm::new(10.0));
    }
}
