//! The files read, with everything that is wrong with any of them.

use crate::farm::Files;
use crate::farm::settings::{DateOrder, Settings};
use crate::farm::view::{DateAnswer, DateQuestion};
use crate::flock::Ewe;
use crate::io::{self, DateAmbiguity, FaultyRow};
use crate::pen::Pen;
use crate::problem::Problem;

/// What the files hold.
pub(super) struct Read {
    pub(super) ewes: Vec<Ewe>,
    pub(super) pens: Vec<Pen>,
    pub(super) faulty: Vec<FaultyRow>,
    pub(super) problems: Vec<Problem>,
    pub(super) question: Option<DateQuestion>,
}

/// Reads groups, flock and pens, in that order: the flock's dates may hang on its groups.
pub(super) fn read(files: Files<'_>, settings: &Settings) -> Read {
    let read = flock(files.flock, files.groups, settings);
    let pens = io::pens(files.pens);
    let problems = [read.problems, pens.problems].concat();
    Read { pens: pens.records, problems, ..read }
}

/// Reads groups and flock alone; there are no pens.
pub(super) fn flock(flock: &[u8], groups: Option<&[u8]>, settings: &Settings) -> Read {
    let mut problems = Vec::new();
    let mut ambiguities = Vec::new();
    let groups = groups.map(|bytes| {
        let (reading, ambiguity) = io::groups(bytes, settings.dates);
        problems.extend(reading.problems);
        ambiguities.extend(ambiguity);
        reading.records
    });
    let flock = io::flock(flock, groups.as_deref(), settings.dates);
    problems.extend(flock.reading.problems);
    ambiguities.extend(flock.date_question);
    Read {
        ewes: flock.reading.records,
        pens: Vec::new(),
        faulty: flock.faulty,
        problems,
        question: question(&ambiguities),
    }
}

/// The question about dates, with the dates of every file that leaves it open.
pub(super) fn question(ambiguities: &[DateAmbiguity]) -> Option<DateQuestion> {
    if ambiguities.is_empty() {
        return None;
    }
    let words = |name: &str, of: fn(&DateAmbiguity) -> &[String]| {
        let shown: Vec<String> = ambiguities
            .iter()
            .flat_map(|ambiguity| ambiguity.samples.iter().zip(of(ambiguity)))
            .take(3)
            .map(|(sample, words)| format!("{sample} is {words}"))
            .collect();
        format!("{name} first: {}", shown.join("; "))
    };
    Some(DateQuestion {
        question: "Which comes first in these dates, the day or the month?".to_owned(),
        answers: vec![
            DateAnswer { order: DateOrder::Dmy, words: words("Day", |ambiguity| &ambiguity.dmy_words) },
            DateAnswer { order: DateOrder::Mdy, words: words("Month", |ambiguity| &ambiguity.mdy_words) },
        ],
    })
}
