//! The race: a flock list read as if its ewes came one at a time, each answered knowing only those before her.
//!
//! | file | what |
//! |---|---|
//! | `document` | the JSON document |
//! | `view` | the same in words |

pub mod document;
mod view;

pub use document::{DraftDocument, FORMAT};
pub use view::{DraftLine, DraftView};

use crate::farm::document::RefusedDocument;
use crate::farm::settings::Settings;
use crate::farm::view::DateQuestion;
use crate::farm::{CAUTION, FaultyRows, Files, Refusal, prepare, read, report};
use crate::flock::{AgeClass, Ewe};
use crate::io;
use crate::problem::{Problem, Severity};
use crate::sort::draft::{Answer, Draft, Known, Outcome, PenAnswer, Source, outcome};
use crate::sort::plan::PlannedEwe;
use crate::sort::shortfall::count_words;
use document::{
    AnswerEntry, AxisEntry, MoveEntry, PenEntry, PlaceEntry, ResultEntry, RunnerUpEntry, StandEntry,
};

/// What the person asking says beforehand.
#[derive(Debug, Clone, Copy, Default)]
pub struct Beforehand<'a> {
    /// Last year's flock list, or this season's records.
    pub prior: Option<&'a [u8]>,
    /// How many ewes in lamb will come.
    pub expect: Option<usize>,
    /// How many of them are ewe lambs.
    pub ewe_lambs: Option<usize>,
    /// How many ways the gate has.
    pub ways: Option<usize>,
}

/// The answer.
#[derive(Debug)]
pub enum DraftAnswer {
    /// Every ewe was answered.
    Drafted(Box<DraftDocument>),
    /// Something must be put right or answered first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
        /// Day or month first?
        question: Option<DateQuestion>,
    },
}

impl DraftAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Drafted(document) => report::to_json(document),
            Self::Refused { problems, .. } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }
}

impl DraftDocument {
    /// The draft in words.
    pub fn view(&self) -> DraftView {
        view::view(self)
    }
}

/// Reads the files and drafts the flock in the order of its list.
pub fn draft(
    files: Files<'_>,
    settings: &Settings,
    faulty_rows: FaultyRows,
    beforehand: Beforehand<'_>,
) -> DraftAnswer {
    // Read and refused as a sort would be; the plan of the whole flock is not looked at.
    let prepared = match prepare(files, settings, faulty_rows) {
        Ok(prepared) => prepared,
        Err(Refusal { problems, question }) => return DraftAnswer::Refused { problems, question },
    };
    let mut problems: Vec<Problem> =
        prepared.problems.into_iter().filter(|problem| problem.code != "assumed").collect();
    if let Some(ways) = beforehand.ways.filter(|ways| !(2..=3).contains(ways)) {
        problems.push(Problem::new(
            Severity::Error,
            "ways-wrong",
            "ways",
            format!("A gate of {ways} ways is not known here."),
            "Give 2 or 3, or leave it out where every pen has a way of its own.",
        ));
        return DraftAnswer::Refused { problems, question: None };
    }
    let told = read::read(files, settings);
    let list = match beforehand.prior.map(|bytes| prior(bytes, files, settings, &mut problems)) {
        Some(None) => return DraftAnswer::Refused { problems, question: None },
        list => list.flatten(),
    };
    let (known, expected_from) = known(&told.ewes, list, beforehand, files, settings);
    let expected_ewe_lambs = known.ewe_lambs as u32;
    let mut draft = Draft::new(told.pens, known, settings);
    let answers: Vec<AnswerEntry> =
        told.ewes.iter().map(|ewe| answered(&mut draft, ewe, &mut problems)).collect();
    problems.extend(too_few(&draft));
    let result = (!draft.placed().is_empty()).then(|| result(&draft, &outcome(&draft)));
    let mut set_apart: Vec<String> = draft.set_apart().iter().map(|apart| apart.tag.clone()).collect();
    set_apart.extend(told.faulty.iter().map(|row| row.tag.clone()));
    DraftAnswer::Drafted(Box::new(DraftDocument {
        format: FORMAT,
        status: "drafted",
        caution: CAUTION,
        on: settings.on,
        period_days: draft.days().len() as u32,
        expected_ewes: draft.expected() as u32,
        expected_from,
        expected_ewe_lambs,
        belief: match draft.source() {
            Source::Records => "records",
            Source::LastYear => "last_year",
            Source::Print => "print",
        },
        belief_words: belief_words(&draft, expected_from, expected_ewe_lambs),
        ways: ways(&draft),
        axes: draft.axes().into_iter().map(|(of, weight)| AxisEntry { of, weight }).collect(),
        answers,
        held: draft.held().iter().map(|held| held.tag.clone()).collect(),
        set_apart,
        pens: pens(&draft),
        result,
        problems,
    }))
}

/// The list of what is believed; nothing, and an error, where none of its rows can be read.
fn prior(
    bytes: &[u8],
    files: Files<'_>,
    settings: &Settings,
    problems: &mut Vec<Problem>,
) -> Option<Vec<Ewe>> {
    let groups = files.groups.map(|bytes| io::groups(bytes, settings.dates).0.records);
    let reading = io::flock(bytes, groups.as_deref(), settings.dates);
    let records = reading.reading.records;
    if records.is_empty() {
        problems.push(Problem::new(
            Severity::Error,
            "prior-unreadable",
            "prior list",
            "No ewe could be read from the list of what is known beforehand.".to_owned(),
            "Give a flock list with the same columns, or leave it out.",
        ));
        return None;
    }
    let faulty = reading.faulty.len();
    if faulty > 0 {
        problems.push(Problem::new(
            Severity::Warning,
            "prior-rows-left-out",
            "prior list",
            format!("{} could not be read and left out.", count_words(faulty, "row")),
            "Put them right to learn from every ewe.",
        ));
    }
    Some(records)
}

fn known(
    ewes: &[Ewe],
    list: Option<Vec<Ewe>>,
    beforehand: Beforehand<'_>,
    files: Files<'_>,
    settings: &Settings,
) -> (Known, &'static str) {
    let in_lamb =
        |ewes: &[Ewe]| ewes.iter().filter(|ewe| ewe.litter.is_none_or(|litter| litter.lambs() > 0)).count();
    let (expected, from) = match (beforehand.expect, &list) {
        (Some(expect), _) => (expect, "given"),
        (None, Some(list)) => (in_lamb(list), "prior"),
        (None, None) => (in_lamb(ewes), "flock"),
    };
    let lambs = |ewes: &[Ewe]| ewes.iter().filter(|ewe| ewe.age == Some(AgeClass::EweLamb)).count();
    let ewe_lambs = beforehand.ewe_lambs.unwrap_or_else(|| match &list {
        Some(list) if from == "prior" => lambs(list),
        _ => lambs(ewes),
    });
    let groups = files.groups.map(|bytes| io::groups(bytes, settings.dates).0.records).unwrap_or_default();
    let first_due = groups.iter().map(|group| io::due_days(group).0).min();
    (Known { list, expected, ewe_lambs, first_due, ways: beforehand.ways }, from)
}

fn answered(draft: &mut Draft, ewe: &Ewe, problems: &mut Vec<Problem>) -> AnswerEntry {
    let answer = draft.answer(ewe);
    let entry = |answer: &'static str, reason: String| AnswerEntry {
        tag: ewe.tag.clone(),
        answer,
        reason,
        place: None,
        runner_up: None,
    };
    let entry = match &answer {
        Answer::Pen(pen) => placed_entry(draft, pen),
        Answer::Hold(_) => entry("hold", draft.why_held(ewe)),
        Answer::Apart(apart, problem) => {
            problems.extend(problem.as_deref().cloned());
            entry("apart", format!("{}; she needs {}.", apart.why.trim_end_matches('.'), apart.needs))
        }
        Answer::Already(pen) => {
            entry("hold", format!("she stands in pen {} already", draft.pens()[*pen].name))
        }
    };
    if let Answer::Pen(pen) = &answer {
        if let Err(refused) = draft.place(ewe, pen.pen) {
            // An answer that cannot be followed would be a fault of the engine: it is said, never hidden.
            problems.push(Problem::new(
                Severity::Error,
                "answer-refused",
                format!("ewe {}", ewe.tag),
                refused.why,
                "Hold her, and report this as a fault.",
            ));
        }
    } else {
        draft.pass(ewe, &answer);
    }
    entry
}

fn placed_entry(draft: &Draft, answer: &PenAnswer) -> AnswerEntry {
    let [trough, floor] = draft.takes(&answer.ewe, answer.pen);
    let name = |pen: usize| draft.pens()[pen].name.clone();
    AnswerEntry {
        tag: answer.ewe.ewe.tag.clone(),
        answer: "pen",
        reason: answer.reason.clone(),
        place: Some(PlaceEntry {
            pen: name(answer.pen),
            way: answer.way.map(|way| way as u32 + 1),
            places_left: answer.places_left as u32,
            trough_m: f64::from(trough) / 1000.0,
            floor_m2: f64::from(floor) / 1000.0,
            need: answer.need.clone(),
            planned_level: draft.levels(answer.pen).to_vec(),
            under_over: answer.under_over,
            misfit_mj: answer.loss_mj,
            room_mj: answer.room_mj,
        }),
        runner_up: answer.runner_up.map(|next| RunnerUpEntry {
            pen: name(next.pen),
            planned_level: draft.levels(next.pen).to_vec(),
            misfit_mj: next.loss_mj,
            costs_her_mj: next.loss_mj - answer.loss_mj,
            room_mj: next.room_mj,
            risky: next.risky,
        }),
    }
}

fn ways(draft: &Draft) -> Vec<Vec<String>> {
    let Some(ways) = draft.ways() else { return Vec::new() };
    let count = ways.iter().max().map_or(0, |most| most + 1);
    (0..count)
        .map(|way| {
            let pens = draft.pens().iter().zip(ways).filter(|&(_, own)| *own == way);
            pens.map(|(pen, _)| pen.name.clone()).collect()
        })
        .collect()
}

fn pens(draft: &Draft) -> Vec<PenEntry> {
    let below = draft.below_min_head();
    draft
        .pens()
        .iter()
        .enumerate()
        .map(|(pen, record)| {
            let [used, there] = draft.room(pen).map(|room| room.map(|part| part as f64 / 1000.0));
            PenEntry {
                pen: record.name.clone(),
                ewes: draft.placed().iter().filter(|(_, own)| *own == pen).count() as u32,
                trough_used_m: used[0],
                trough_m: there[0],
                floor_used_m2: used[1],
                floor_m2: there[1],
                below_least_head: below.contains(&pen),
            }
        })
        .collect()
}

/// Pens in use with fewer than a pen in use must have: fewer ewes came than were expected.
fn too_few(draft: &Draft) -> Option<Problem> {
    let pens: Vec<&str> = draft
        .below_min_head()
        .into_iter()
        .filter_map(|pen| Some(draft.pens().get(pen)?.name.as_str()))
        .collect();
    (!pens.is_empty()).then(|| {
        Problem::new(
            Severity::Warning,
            "below-least-head",
            format!("pen {}", pens.join(", ")),
            format!(
                "It holds fewer than the {} that a pen in use must have; {} were expected.",
                draft.least_head(),
                count_words(draft.expected(), "ewe")
            ),
            "Put its ewes to others, or expect the right number.",
        )
    })
}

fn result(draft: &Draft, found: &Outcome) -> ResultEntry {
    let name = |pen: usize| draft.pens()[pen].name.clone();
    let tag = |ewe: &PlannedEwe| ewe.ewe.tag.clone();
    let stands = found.evening.as_ref().unwrap_or(&found.drafted);
    let moves = found.moved.as_ref().map(|(.., new)| {
        let ewes = found.plan.ewes.iter().zip(stands.iter().zip(new));
        ewes.filter(|(_, (from, to))| from != to)
            .map(|(ewe, (&from, &to))| MoveEntry { tag: tag(ewe), from: name(from), to: name(to) })
            .collect()
    });
    ResultEntry {
        objective_mj: found.objective_mj,
        all_knowing_mj: found.all_knowing.as_ref().map(|best| best.loss),
        ratio: found.ratio(),
        evening: found.evening.as_ref().map_or_else(Vec::new, |evening| {
            let ewes = found.plan.ewes.iter().zip(evening);
            ewes.map(|(ewe, &pen)| StandEntry { tag: tag(ewe), pen: name(pen) }).collect()
        }),
        most_moves: found.most_moves as u32,
        moves: moves.unwrap_or_default(),
        moved_objective_mj: found.moved.as_ref().map(|(_, objective, _)| *objective),
        moved_ratio: found.ratio_after_moves(),
    }
}

fn belief_words(draft: &Draft, from: &str, ewe_lambs: u32) -> String {
    let ewes = count_words(draft.expected(), "ewe");
    let number = match from {
        "given" => format!("{ewes} in lamb expected, as given"),
        "prior" => format!("{ewes} in lamb expected, as many as the prior list has"),
        _ => format!("{ewes} in lamb expected, as many as this list has: you know how many you have"),
    };
    let lambs = match ewe_lambs {
        0 => "; none of them a ewe lamb".to_owned(),
        count => format!("; {} among them", count_words(count as usize, "ewe lamb")),
    };
    let learnt = match draft.source() {
        Source::Records => {
            "Lambs, due day, weight and age are on record by tag; condition is learnt as they pass."
        }
        Source::LastYear => {
            "Lambs, condition and due days are believed to be like last year's until enough have passed; weight \
             and age are taken by tag where tags match."
        }
        Source::Print => {
            "Nothing of the flock is known beforehand: published figures stand in until enough have passed."
        }
    };
    format!("{number}{lambs}. {learnt}")
}
