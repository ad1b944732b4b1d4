//! What is written of the ewe who stands there, and entering it.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::farm::journal::season;
use crate::farm::journal::{AppendReply, AppendRequest, Known, LookReply, LookRequest, Mark, Name, Now};
use crate::farm::race::Race;
use crate::farm::race::answer::{self, Gate};
use crate::farm::race::leave;
use crate::farm::race::view::{self, RaceView};
use crate::flock::{AgeClass, Litter, Score};
use crate::journal::{Advice, Ewe, Topic, Value, What};
use crate::problem::{Problem, Severity};
use crate::sort::System;
use serde::{Deserialize, Serialize};

/// Scores below and above are rare enough to be asked about (common practice, no source).
const USUAL_SCORES: std::ops::RangeInclusive<f64> = 1.5..=4.5;
/// More lambs than this are rare enough to be asked about (common practice, no source).
const USUAL_LAMBS: u8 = 4;

/// What is known before the first ewe.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct RaceSettings {
    /// The first day of feeding.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub on: Day,
    /// The first day that any ewe is due; taken for those of whom nobody knows a day.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub first_due: Day,
    /// Kind of farm.
    pub system: System,
    /// How many ewes in lamb will come; absent: as many as are on record, or else nine tenths of what the pens
    /// hold.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub expected: Option<u32>,
    /// How many of them are ewe lambs; absent: as many as are on record.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub ewe_lambs: Option<u32>,
    /// How many ways the gate has, 2 or 3; absent: every pen has a way of its own.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub ways: Option<u32>,
}

/// The first lambing where nothing tells it: six weeks on, when feeding begins to matter (common practice, no
/// source).
const FIRST_LAMBING_DAYS: i32 = 42;

impl RaceSettings {
    /// What of them still holds on a day: of an earlier season's only the kind of farm and the ways of the gate.
    pub fn still(&self, now: Now) -> Self {
        if !season::is_over(self.on, now.day()) {
            return self.clone();
        }
        Self { system: self.system, ways: self.ways, ..Self::usual(now) }
    }

    /// The settings until somebody changes them.
    pub fn usual(now: Now) -> Self {
        let on = now.day();
        Self {
            on,
            first_due: on.plus(FIRST_LAMBING_DAYS),
            system: System::default(),
            expected: None,
            ewe_lambs: None,
            ways: None,
        }
    }
}

/// Opening the race.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct OpenRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// What is known before the first ewe.
    pub settings: RaceSettings,
}

/// What is written of one ewe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(deny_unknown_fields)]
pub struct Card {
    /// Who she is; null: not read yet.
    pub name: Option<Name>,
    /// What the reader or the keyboard sent.
    pub read: Option<String>,
    /// Lambs carried.
    pub lambs: Option<Litter>,
    /// Condition.
    pub score: Option<Score>,
    /// Age class.
    pub age: Option<AgeClass>,
    /// Lambing group.
    pub group: Option<String>,
    /// What is wrong with her, or decided about her.
    pub marks: Vec<Mark>,
    /// A note.
    pub note: String,
    /// The pen that somebody chose against what was told.
    pub pen: Option<String>,
}

/// A card to enter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct RaceRequest {
    /// The device's name.
    pub device: String,
    /// What its clock shows.
    pub now: Now,
    /// The card.
    pub card: Card,
    /// Whether what was asked about is meant so.
    pub sure: bool,
}

/// Who stands there, and her card.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct LookedUp {
    /// Who she is.
    pub look: LookReply,
    /// Her card, with what is on record; age and group of a new ewe are left to whoever writes it.
    pub card: Card,
    /// What of it is from the record, in words: `on record: twins`; and what is only of an earlier season.
    pub on_record: String,
    /// The pen that she stands in on record; null where she stands in none.
    pub stands: Option<String>,
}

/// What came of entering a card.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Given {
    /// What the journal made of it; the lines are to be stored before anything is shown as saved.
    pub reply: AppendReply,
    /// What was told of her pen.
    pub gate: Gate,
    /// What she is called.
    pub called: String,
    /// The pen that she was given; null where she has none.
    pub pen: Option<String>,
    /// The pen that she stands in on record and belongs in no longer: she may be taken out of it.
    pub stands: Option<String>,
    /// One line: `0417 goes to pen C.`
    pub words: String,
    /// What the gate shows now; what stands beside it is left out.
    pub view: RaceView,
}

/// Who stands there, and her card with what is on record.
pub(super) fn look(race: &Race, request: &LookRequest) -> LookedUp {
    let look = race.book.look_from(request, race.standpoint());
    let known = look.name.as_ref().and_then(|name| race.book.journal().state().find(name));
    let known = known.filter(|_| look.known != Known::New);
    let mut card = Card { name: look.name.clone(), read: Some(request.read.clone()), ..Card::default() };
    let mut said = Vec::new();
    if let Some(ewe) = known {
        for topic in [Topic::Scanned, Topic::Age, Topic::Due] {
            match value(race, ewe, topic) {
                Some(Value::Scanned(lambs)) => {
                    card.lambs = Some(lambs);
                    said.push(lambs.in_words().to_owned());
                }
                Some(Value::Age(age)) => {
                    card.age = Some(age);
                    said.push(age.in_words().to_owned());
                }
                Some(Value::Due(group, _)) => card.group = group.map(str::to_owned),
                _ => {}
            }
        }
        card.marks = marks_of(ewe);
    }
    let mut on_record = Vec::new();
    if !said.is_empty() {
        on_record.push(format!("On record: {}.", said.join(", ")));
    }
    if let (Some(ewe), Some(season)) = (known, &race.season) {
        on_record.extend(season.of(ewe).earlier_words());
    }
    let stands = card.name.as_ref().filter(|_| known.is_some()).and_then(|name| leave::pen(race, name));
    let stands = stands.map(str::to_owned);
    LookedUp { look, card, on_record: on_record.join(" "), stands }
}

fn value<'r>(race: &Race, ewe: &'r Ewe, topic: Topic) -> Option<Value<'r>> {
    season::value(ewe, topic, race.season.as_ref())
}

fn marks_of(ewe: &Ewe) -> Vec<Mark> {
    let mut marks: Vec<Mark> = ewe
        .marks
        .iter()
        .filter_map(|event| match event.what()? {
            What::Marked { mark, .. } => Some(*mark),
            _ => None,
        })
        .collect();
    marks.arrange_by(Ord::cmp);
    marks.dedup();
    marks
}

/// What a running number is called, so that it is no visible tag.
const NUMBER: &str = "no. ";

pub(super) fn next_number(race: &Race) -> String {
    let numbers = race.book.journal().state().ewes().filter_map(|ewe| {
        let of = |tag: &str| tag.strip_prefix(NUMBER).and_then(|number| number.parse::<u32>().ok());
        let former = ewe.former.iter().filter_map(|name| match name {
            Name::Tag(tag) => of(tag),
            Name::Eid(_) => None,
        });
        former.chain(ewe.tag.as_deref().and_then(of)).max()
    });
    format!("{NUMBER}{}", numbers.max().unwrap_or(0).saturating_add(1))
}

/// Enters a card, or asks, or refuses.
pub(super) fn enter(race: &mut Race, request: &RaceRequest) -> Given {
    let card = &request.card;
    let gate = answer::answer(race, card);
    let refused = |race: &Race, reply, gate| Given {
        reply,
        gate,
        called: String::new(),
        pen: None,
        stands: None,
        words: String::new(),
        view: view::view(race, &request.device, request.now, false),
    };
    let Some(name) = card.name.clone() else {
        let hint = "Read her tag, write it, or take the next running number.";
        let problem =
            Problem::new(Severity::Error, "who-is-she", "the ewe", "Nobody knows which ewe this is.", hint);
        return refused(race, AppendReply::Refused { problems: vec![problem] }, gate);
    };
    let questions = if request.sure { Vec::new() } else { unusual(race, card, request.now.day()) };
    if !questions.is_empty() {
        return refused(race, AppendReply::Asked { questions }, gate);
    }
    let pen = card.pen.clone().or(match &gate {
        Gate::Pen { pen, .. } => Some(pen.clone()),
        _ => None,
    });
    let what = events(race, card, &name, pen.as_deref(), &gate);
    let append = AppendRequest {
        device: request.device.clone(),
        now: request.now,
        by: None,
        day: None,
        what,
        sure: request.sure,
    };
    let reply = race.book.append(append);
    if !matches!(reply, AppendReply::Appended { .. }) {
        return refused(race, reply, gate);
    }
    let known = race.book.journal().state().find(&name);
    let called = known.map(Ewe::called).unwrap_or_default();
    let on_record = leave::pen(race, &name).filter(|_| pen.is_none()).map(str::to_owned);
    let words = match (&pen, &on_record) {
        (Some(pen), _) => format!("{called} goes to pen {pen}."),
        // A correction gives no pen where she belongs in none now; nor does it take her out of the one before.
        (None, Some(pen)) => format!("{called} is entered; on record she is still in pen {pen}."),
        (None, None) => format!("{called} is entered; she has no pen."),
    };
    let stands = on_record.filter(|_| matches!(gate, Gate::Apart { .. }));
    race.stand(&called, &name);
    let view = view::view(race, &request.device, request.now, false);
    Given { reply, gate, called, pen, stands, words, view }
}

/// What is rare enough to be a slip.
fn unusual(race: &Race, card: &Card, day: Day) -> Vec<Problem> {
    let ask = |code: &str, message: String, hint: &str| {
        Problem::new(Severity::Warning, code, "the ewe", message, hint)
    };
    let mut found = Vec::new();
    let known = card.name.as_ref().and_then(|name| race.book.journal().state().find(name));
    let is_new = |topic: Topic, value: Value<'_>| {
        let standing = known.and_then(|ewe| ewe.on(topic, day));
        standing.and_then(|standing| Value::of(standing.holds)) != Some(value)
    };
    if let Some(score) = card.score.filter(|score| !USUAL_SCORES.contains(&score.units()))
        && is_new(Topic::Condition, Value::Condition(score))
    {
        let hint = "If it is so, enter it; and look whether she needs the vet.";
        found.push(ask("score-unusual", format!("Condition {score} is rare. Is it meant?"), hint));
    }
    if let Some(lambs) = card.lambs.filter(|lambs| lambs.lambs() > USUAL_LAMBS) {
        let message = format!("{} lambs are rare. Are they meant?", lambs.lambs());
        found.push(ask("lambs-unusual", message, "If it is so, enter it."));
    }
    found
}

/// The events that a card is: what is new of her, and no more.
fn events(race: &Race, card: &Card, name: &Name, pen: Option<&str>, gate: &Gate) -> Vec<What> {
    let known = race.book.journal().state().find(name);
    let value = |topic: Topic| known.and_then(|ewe| value(race, ewe, topic));
    // A class that she has grown into was said by nobody yet, and one that is said against that is news.
    let is_said = |age: AgeClass| {
        let said = known.and_then(|ewe| Value::of(ewe.standing(Topic::Age)?.holds));
        said == Some(Value::Age(age)) && value(Topic::Age) == said
    };
    let stands = |topic: Topic, new: Value<'_>| value(topic) == Some(new);
    let ewe = || name.clone();
    let (eid, tag) = match name {
        Name::Eid(eid) => (Some(eid.clone()), None),
        Name::Tag(tag) => (None, Some(tag.clone())),
    };
    let read = card.read.clone().filter(|read| !read.trim().is_empty());
    let mut what = vec![What::EweMet { eid, tag, read }];
    if let Some(lambs) = card.lambs.filter(|lambs| !stands(Topic::Scanned, Value::Scanned(*lambs))) {
        what.push(What::Scanned { ewe: ewe(), lambs });
    }
    // A score is felt anew each time, also where it comes out the same.
    what.extend(card.score.map(|score| What::ConditionScored { ewe: ewe(), score }));
    if let Some(age) = card.age.filter(|age| !is_said(*age)) {
        what.push(What::AgeGiven { ewe: ewe(), age });
    }
    let group_now = match value(Topic::Due) {
        Some(Value::Due(group, _)) => group,
        _ => None,
    };
    if card.group.is_some() && card.group.as_deref() != group_now {
        what.push(What::DueGiven { ewe: ewe(), group: card.group.clone(), due: None });
    }
    let marks_now = known.map(marks_of).unwrap_or_default();
    let new = card.marks.iter().filter(|mark| !marks_now.contains(mark));
    what.extend(new.map(|mark| What::Marked { ewe: ewe(), mark: *mark, words: None }));
    let gone = marks_now.iter().filter(|mark| !card.marks.contains(mark));
    what.extend(gone.map(|mark| What::MarkCleared { ewe: ewe(), mark: *mark }));
    let note = card.note.trim();
    if !note.is_empty() {
        what.push(What::Noted { ewe: Some(ewe()), words: note.to_owned() });
    }
    let advised = match gate {
        Gate::Pen { pen, reason, .. } => Some(Advice { pen: pen.clone(), words: reason.clone() }),
        _ => None,
    };
    what.extend(pen.map(|pen| What::PenGiven { ewe: ewe(), pen: pen.to_owned(), advised }));
    what
}
