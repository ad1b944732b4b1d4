//! Who stands before the reader, and what is known of her.

use crate::day::Day;
use crate::farm::journal::document::EweState;
use crate::farm::journal::season::{self, Season};
use crate::farm::journal::{Standpoint, report, words};
use crate::io::reader;
use crate::journal::{Ewe, Journal, Name, Standing, Topic, Value};
use crate::problem::{Problem, Severity};
use serde::{Deserialize, Serialize};

/// What the reader or the keyboard sent.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct LookRequest {
    /// As it came.
    pub read: String,
    /// Today.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub day: Day,
}

/// How well she is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// She is known by this name.
    Yes,
    /// Nobody was met by this name: entering something makes a new ewe of it.
    New,
    /// A ewe had this tag until it was corrected, or an identifier until it was replaced.
    Formerly,
    /// What came is no ewe's name.
    Unreadable,
}

/// Who stands there.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct LookReply {
    /// How well she is known.
    pub known: Known,
    /// The name for events about her; null where nothing could be read.
    pub name: Option<Name>,
    /// What is known of her; null for a new ewe.
    pub ewe: Option<EweState>,
    /// One line: who she is.
    pub words: String,
    /// What was read of her today already, in words.
    pub today: Vec<String>,
    /// What to ask before anything is entered; null where nothing is in question.
    pub question: Option<String>,
    /// What is wrong or odd with what came.
    pub problems: Vec<Problem>,
}

/// The topics that are entered at the race.
const AT_THE_RACE: [Topic; 3] = [Topic::Scanned, Topic::Condition, Topic::Weight];

/// Looks her up.
pub(super) fn look(journal: &Journal, request: &LookRequest, from: Standpoint<'_>) -> LookReply {
    let read = match reader::name(&request.read) {
        Ok(read) => read,
        Err(problem) => {
            return LookReply {
                known: Known::Unreadable,
                name: None,
                ewe: None,
                words: problem.message.clone(),
                today: Vec::new(),
                question: None,
                problems: vec![*problem],
            };
        }
    };
    let mut problems: Vec<Problem> = read.note.into_iter().collect();
    let (name, state) = (read.name, journal.state());
    let Some(ewe) = state.find(&name) else {
        problems.extend(alike(journal, &name));
        return LookReply {
            known: Known::New,
            words: format!("{} is a new ewe.", words::name(&name)),
            name: Some(name),
            ewe: None,
            today: Vec::new(),
            question: None,
            problems,
        };
    };
    let today = today(ewe, request.day, from.here);
    let (known, question) = if state.is_current(&name) {
        let question = (!today.is_empty()).then(|| {
            format!(
                "{} was read today already ({}). Is this a correction, or another ewe?",
                ewe.called(),
                today.join(", ")
            )
        });
        (Known::Yes, question)
    } else {
        let said = words::name(&name);
        let question = format!("{said} is now {}. Is it her, or another ewe called {said}?", ewe.called());
        (Known::Formerly, Some(question))
    };
    LookReply {
        known,
        words: one_line(ewe, from.season),
        name: Some(name),
        ewe: Some(report::ewe(ewe)),
        today,
        question,
        problems,
    }
}

/// What stands of her for one day, in words: `twins by Ann at 09:14`.
pub(super) fn today(ewe: &Ewe, day: Day, here: Option<&str>) -> Vec<String> {
    let standing = AT_THE_RACE.into_iter().filter_map(|topic| ewe.on(topic, day));
    standing.filter_map(|standing| in_words(&standing, here)).collect()
}

/// A reading in words: `twins by Ann at 09:14`.
pub(super) fn in_words(standing: &Standing<'_>, here: Option<&str>) -> Option<String> {
    let value = Value::of(standing.holds)?;
    let topic = if matches!(value, Value::Condition(_)) { "condition " } else { "" };
    Some(format!("{topic}{} {}", words::value(value), words::by_whom(standing.holds, here)))
}

fn one_line(ewe: &Ewe, season: Option<&Season>) -> String {
    let mut parts = vec![ewe.called()];
    for topic in [Topic::Scanned, Topic::Condition, Topic::Age, Topic::Due, Topic::Pen] {
        if let Some(value) = season::value(ewe, topic, season) {
            let lead = match value {
                Value::Condition(_) => "condition ",
                Value::Due(..) => "due ",
                _ => "",
            };
            parts.push(format!("{lead}{}", words::value(value)));
        }
    }
    let earlier = season.map(|season| season.of(ewe).earlier_words()).unwrap_or_default();
    let sentences: Vec<String> = std::iter::once(format!("{}.", parts.join(", "))).chain(earlier).collect();
    sentences.join(" ")
}

/// A new tag that differs from a known one only by zeros in front, case or blanks.
fn alike(journal: &Journal, name: &Name) -> Option<Problem> {
    let Name::Tag(tag) = name else { return None };
    let sound = reader::alike(tag);
    let other = journal
        .state()
        .ewes()
        .find(|ewe| ewe.tag.as_deref().is_some_and(|own| reader::alike(own) == sound))?;
    let message = format!("{tag} looks like {}, who is known.", other.called());
    let hint = "Check that she is another ewe; if it is her, type her tag as it is known.";
    Some(Problem::new(Severity::Warning, "tags-alike", "what was read", message, hint).about(tag))
}
