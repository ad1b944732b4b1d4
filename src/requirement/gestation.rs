//! How long a ewe carries, and the day she is due, each with its spread.
//!
//! A standard's tables count 147 days to term; ewes do not. The day due is reckoned by breed class and
//! litter; the tables then count back from that day.

use crate::day::Day;
use crate::flock::Litter;

/// Mean days of a single by default. Fitted to the means below.
const USUAL_DAYS: f64 = 146.5;
/// Spread in days by default: 2.2 to 2.9 published (Canadian records of 7,083 ewes, 2005; year from memory).
pub const SPREAD_DAYS: f64 = 2.5;
/// Days fewer for 0 to 5 lambs than for one. Fitted: 147.3, 146.7 and 145.6 on a secondary page, 149.8,
/// 147.4 and 146.7 in Landrace hair sheep (1,291 ewes); four and five as three.
const FEWER_DAYS: [f64; 6] = [0.0, 0.0, 0.7, 1.5, 1.5, 1.5];
/// Shortest and longest met, days (US handbook, quoted; year from memory).
pub const RANGE_DAYS: [f64; 2] = [138.0, 159.0];
/// 95 % limits of a scanner's age by head length, days either way, at day 40 and at day 80. Kelly and
/// Newnham 1989.
const SCANNED_LIMITS: [(f64, f64); 2] = [(40.0, 2.0), (80.0, 4.0)];
/// Standard deviations in 95 % limits (any table of the normal, for example Fisher 1925).
const LIMITS_95: f64 = 1.96;

/// A class of breeds, with the published mean of its pregnancies.
#[derive(Debug, Clone, Copy)]
pub struct BreedClass {
    /// The name on the command line.
    pub id: &'static str,
    /// In words.
    pub name: &'static str,
    /// Mean days of a single, or of all where litters were not told apart.
    pub days: f64,
    /// Where it comes from.
    pub source: &'static str,
}

/// Breed classes, the default first. Means: Canadian records of 7,083 ewes, 2005 (year from memory) and
/// others, each named.
pub const BREED_CLASSES: [BreedClass; 6] = [
    BreedClass {
        id: "usual",
        name: "breed not said",
        days: USUAL_DAYS,
        source: "fitted to the published means",
    },
    BreedClass { id: "meat", name: "Suffolk and like", days: 146.0, source: "Canadian records, 7,083 ewes" },
    BreedClass { id: "prolific", name: "Rideau and like", days: 145.0, source: "Canadian records, 7,083 ewes" },
    BreedClass { id: "finn", name: "Finn", days: 144.0, source: "Canadian records, 7,083 ewes" },
    BreedClass { id: "hair", name: "hair sheep", days: 149.8, source: "Landrace hair sheep, 1,291 ewes, singles" },
    BreedClass { id: "fine-wool", name: "fine-wools", days: 150.5, source: "US handbook, quoted: 150 to 151" },
];

/// A length or a day with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Mean days.
    pub days: f64,
    /// Standard deviation, days.
    pub sd: f64,
}

/// What is known of when she conceived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Conceived {
    /// Served on a day.
    On(Day),
    /// Served between two days: the ram was in, or a raddle colour was up.
    Between(Day, Day),
    /// A scanner aged the lambs: on that day, this many days.
    Scanned {
        /// The day of the scan.
        on: Day,
        /// Days of pregnancy as estimated.
        age: u32,
    },
}

/// The day she is due, with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DueDay {
    /// The likeliest day.
    pub day: Day,
    /// Standard deviation, days.
    pub sd: f64,
}

/// The class of that id.
pub fn breed_class(id: &str) -> Option<&'static BreedClass> {
    BREED_CLASSES.iter().find(|class| class.id == id)
}

/// Length of pregnancy by breed class and litter.
pub fn length(class: &BreedClass, litter: Litter) -> Spread {
    Spread { days: class.days - FEWER_DAYS[usize::from(litter.lambs())], sd: SPREAD_DAYS }
}

/// The day due. Spreads of conception and of the length add as squares. A window of service is even over its
/// days: its variance is a twelfth of its length's square.
pub fn due(conceived: Conceived, class: &BreedClass, litter: Litter) -> DueDay {
    let Spread { days, sd } = length(class, litter);
    let (start, offset, conceived_sd) = match conceived {
        Conceived::On(day) => (day, 0.0, 0.0),
        Conceived::Between(first, last) => {
            let width = f64::from(last.since(first).max(0));
            (first, width / 2.0, ((width + 1.0) * (width + 1.0) - 1.0).max(0.0).sqrt() / 12.0_f64.sqrt())
        }
        Conceived::Scanned { on, age } => (on, -f64::from(age), scanned_sd(age)),
    };
    DueDay {
        day: start.plus(libm::round(offset + days) as i32),
        sd: (sd * sd + conceived_sd * conceived_sd).sqrt(),
    }
}

/// Error of a scanner's age: the printed limits, in a line between and beyond, never under a day.
fn scanned_sd(age: u32) -> f64 {
    let [(early, at_early), (late, at_late)] = SCANNED_LIMITS;
    let limits = at_early + (f64::from(age) - early) * (at_late - at_early) / (late - early);
    limits.max(1.0) / LIMITS_95
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Day {
        Day::from_iso(text).unwrap()
    }

    fn litter(lambs: u8) -> Litter {
        Litter::of(lambs).unwrap()
    }

    #[test]
    fn more_lambs_come_sooner() {
        let usual = &BREED_CLASSES[0];
        assert_eq!(length(usual, litter(1)), Spread { days: 146.5, sd: 2.5 });
        assert!((length(usual, litter(2)).days - 145.8).abs() < 1e-9);
        assert!((length(usual, litter(3)).days - 145.0).abs() < 1e-9);
    }

    #[test]
    fn a_service_a_window_and_a_scan_each_give_a_day_and_its_spread() {
        let usual = &BREED_CLASSES[0];
        let served = due(Conceived::On(day("2026-10-20")), usual, litter(2));
        assert_eq!((served.day, served.sd), (day("2026-10-20").plus(146), 2.5));
        let window = Conceived::Between(day("2026-10-20"), day("2026-11-05"));
        let window = due(window, usual, litter(2));
        assert_eq!(window.day, day("2026-10-20").plus(154));
        // 17 days, each as likely: variance (17² − 1)/12 = 24.
        assert!((window.sd - (24.0_f64 + 6.25).sqrt()).abs() < 1e-9, "{}", window.sd);
        for (age, limits) in [(40, 2.0), (80, 4.0)] {
            let scanned = due(Conceived::Scanned { on: day("2027-01-08"), age }, usual, litter(1));
            assert!((scanned_sd(age) * 1.96 - limits).abs() < 1e-9);
            assert!(scanned.sd > 2.5 && scanned.sd < 3.3);
        }
    }
}
