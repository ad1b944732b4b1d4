//! Target condition by body, kind of farm and stage. They do not agree; the user's own may take their place.

/// A range of scores; a single figure where both are the same.
pub type Scores = Option<[f64; 2]>;

/// Targets that one body prints for one class of ewe.
#[derive(Debug, Clone, Copy)]
pub struct TargetRow {
    /// The body's name on the command line.
    pub id: &'static str,
    /// The body, with its year.
    pub body: &'static str,
    /// The class of ewe, as printed.
    pub class: &'static str,
    /// Whether it speaks of lowland, upland and hill ewes.
    pub systems: [bool; 3],
    /// The fewest and the most lambs it speaks of.
    pub lambs: [u8; 2],
    /// At mating.
    pub mating: Scores,
    /// At scanning or mid-pregnancy.
    pub mid: Scores,
    /// At lambing.
    pub lambing: Scores,
}

const fn at(score: f64) -> Scores {
    Some([score, score])
}

const fn row(
    (id, body, class): (&'static str, &'static str, &'static str),
    systems: [bool; 3],
    lambs: [u8; 2],
    [mating, mid, lambing]: [Scores; 3],
) -> TargetRow {
    TargetRow { id, body, class, systems, lambs, mating, mid, lambing }
}

/// Lowland, upland, hill (a way to write the table below; common practice, no source).
const LOWLAND: [bool; 3] = [true, false, false];
/// Upland alone (as above; common practice, no source).
const UPLAND: [bool; 3] = [false, true, false];
/// Hill alone (as above; common practice, no source).
const HILL: [bool; 3] = [false, false, true];
/// Every system (as above; common practice, no source).
const ALL: [bool; 3] = [true, true, true];
/// Any litter (as above; common practice, no source).
const ANY: [u8; 2] = [0, 5];

const FAS: &str = "Farm Advisory Service Scotland 2024";
const EBLEX: &str = "EBLEX 2014, in Farmers Weekly";
const WALES: &str = "Farming Connect Wales 2016";
const VICTORIA: &str = "Victoria drought feeding guide 2017";

/// Published targets: FAS Scotland 2024 (the default; one cell of upland read from a garbled print), EBLEX
/// 2014, Farming Connect 2016, Teagasc, Beef + Lamb New Zealand, Cranston 2017, Hocking Edwards 2011,
/// Victoria 2017. No body met gives shearlings or ewe lambs a table of their own.
pub const TARGETS: [TargetRow; 15] = [
    row(("fas2024", FAS, "lowland"), LOWLAND, ANY, [at(3.5), at(3.0), at(3.0)]),
    row(("fas2024", FAS, "upland"), UPLAND, ANY, [at(3.0), at(2.5), at(2.5)]),
    row(("fas2024", FAS, "hill"), HILL, ANY, [at(2.5), at(2.0), at(2.0)]),
    row(("eblex2014", EBLEX, "lowland"), LOWLAND, ANY, [at(3.5), None, None]),
    row(("eblex2014", EBLEX, "upland"), UPLAND, ANY, [at(3.0), None, None]),
    row(("eblex2014", EBLEX, "hill"), HILL, ANY, [at(2.5), None, None]),
    row(("wales2016", WALES, "lowland"), LOWLAND, ANY, [None, None, Some([2.5, 3.0])]),
    row(("wales2016", WALES, "hill"), HILL, ANY, [None, None, Some([2.0, 2.5])]),
    row(("teagasc", "Teagasc", "lowland"), LOWLAND, ANY, [at(3.5), None, at(3.0)]),
    row(("teagasc", "Teagasc", "hill"), HILL, ANY, [at(3.0), None, None]),
    row(
        ("beef-lamb-nz", "Beef + Lamb New Zealand", "all"),
        ALL,
        ANY,
        [Some([3.0, 4.0]), Some([3.0, 4.0]), Some([3.0, 4.0])],
    ),
    row(("cranston2017", "Cranston, Massey 2017", "twin-bearing"), ALL, [2, 2], [None, None, Some([2.5, 3.0])]),
    row(
        ("lifetimewool", "Lifetimewool (Hocking Edwards 2011)", "Merino"),
        ALL,
        ANY,
        [at(3.0), at(2.7), at(2.7)],
    ),
    row(("victoria2017", VICTORIA, "single-bearing"), ALL, [1, 1], [at(3.0), None, at(2.7)]),
    row(("victoria2017", VICTORIA, "twin-bearing"), ALL, [2, 5], [at(3.0), None, at(3.3)]),
];

/// Ids of the bodies that print a target at lambing, each once, the default first.
pub fn bodies() -> Vec<&'static str> {
    let mut ids: Vec<&str> = Vec::new();
    for row in TARGETS.iter().filter(|row| row.lambing.is_some()) {
        if !ids.contains(&row.id) {
            ids.push(row.id);
        }
    }
    ids
}

/// A body's row for a ewe that has a target at lambing; the middle of a range is taken.
pub fn at_lambing(id: &str, system_index: usize, lambs: u8) -> Option<(&'static TargetRow, f64)> {
    TARGETS.iter().filter(|row| row.id == id && speaks_of(row, system_index, lambs)).find_map(|row| {
        let [low, high] = row.lambing?;
        Some((row, f64::midpoint(low, high)))
    })
}

/// Whether a row speaks of such a ewe.
pub fn speaks_of(row: &TargetRow, system_index: usize, lambs: u8) -> bool {
    let [fewest, most] = row.lambs;
    row.systems[system_index.min(2)] && (fewest..=most).contains(&lambs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::requirement::condition;

    #[test]
    fn the_default_body_gives_the_targets_of_the_sort() {
        for system in 0..3 {
            for lambs in 0..=5 {
                let (_, target) = at_lambing("fas2024", system, lambs).unwrap();
                assert!((target - condition::target(system)).abs() < f64::EPSILON);
            }
        }
        assert_eq!(bodies()[0], "fas2024");
        assert!(at_lambing("eblex2014", 0, 1).is_none(), "EBLEX prints none at lambing");
        assert!((at_lambing("victoria2017", 0, 3).unwrap().1 - 3.3).abs() < 1e-9);
    }
}
