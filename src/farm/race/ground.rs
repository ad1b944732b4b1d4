//! What the draft starts from: the pens, the settings, and what was on record of the flock before the race.

mod earlier;

use crate::day::Day;
use crate::farm::journal::Book;
use crate::farm::journal::season::{Season, YEAR_DAYS};
use crate::farm::race::RaceSettings;
use crate::flock::{AgeClass, Due, Ewe, MatingGroup};
use crate::io;
use crate::journal::{self, Name, Topic, Value};
use crate::pen::Pen;
use crate::problem::{Problem, Severity};
use crate::quantity::Kg;
use crate::solve::instance::Bin;
use crate::sort::draft::Known;
use crate::sort::gaps::Flock;
use crate::sort::{Settings, space};

/// Of the pens' room so much is expected to be used where nobody says how many come (our choice, no source).
const USUAL_FILL: f64 = 0.9;
/// A grown ewe's room is asked of the tables at so many kg where nobody's weight is known (Irish and British
/// cross-breds; science sheet).
const USUAL_KG: f64 = 75.0;

/// A ewe of this year's records is worth so many rows of an earlier year's list (our choice, no source).
const RECORDS_WORTH: usize = 2;

/// Where the number of ewes to come is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NumberFrom {
    /// Somebody said it.
    Told,
    /// As many as are on record, barren ones left out.
    List,
    /// As many as an earlier year's list has, likewise.
    Prior,
    /// As many as were here in the last season, likewise.
    LastSeason,
    /// Nine tenths of what the pens hold.
    Pens,
}

/// What the draft starts from.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    /// The pens, in their order.
    pub pens: Vec<Pen>,
    /// Their limits.
    pub bins: Vec<Bin>,
    groups: Vec<MatingGroup>,
    /// Settings of the sort.
    pub sort: Settings,
    /// What was on record before the race.
    pub list: Vec<Ewe>,
    /// What an earlier year's list or the last season says, where this year's records do not say more: what may come,
    /// and nobody who is on record.
    pub prior: Vec<Ewe>,
    /// Whether a list says it.
    pub prior_is_list: bool,
    /// How many ewes in lamb are expected.
    pub expected: usize,
    /// Where that number is from.
    pub from: NumberFrom,
    /// How many of them are ewe lambs.
    pub ewe_lambs: usize,
    /// How many ways the gate has, where they are fewer than the pens.
    pub ways: Option<usize>,
    /// The day for those of whom nobody knows one: early in the list, or else as somebody said.
    pub first_due: Day,
    flock: Flock,
    /// From this day on what is entered is of the race; before it, of the list.
    pub since: Day,
    /// What is of this pregnancy, and what of an earlier one.
    pub season: Season,
}

/// Reads what the draft starts from.
pub(super) fn lay(
    book: &Book,
    race: &RaceSettings,
    since: Day,
    season: &Season,
) -> Result<Ground, Vec<Problem>> {
    let none = |message: &str, hint: &str| {
        vec![Problem::new(Severity::Warning, "no-pens", "the pens", message, hint)]
    };
    let Some(file) = book.pens_csv() else {
        let hint = "Bring in your list of pens. Until then ewes are entered without one.";
        return Err(none("No pen is described yet, so no pen can be told.", hint));
    };
    let pens = io::pens(file.as_bytes());
    if pens.records.is_empty() {
        return Err(pens.problems);
    }
    let pens = pens.records;
    let groups =
        book.groups_csv().map(|file| io::groups(file.as_bytes(), None).0.records).unwrap_or_default();
    let sort = Settings { on: race.on, system: race.system, ..Settings::default() };
    let bins: Vec<Bin> = pens.iter().map(|pen| space::bin(pen, sort.min_head)).collect();
    let before = book.journal().state().ewes().filter(|ewe| {
        let hers = season.of(ewe).from..since;
        // Of whom a list holds the tag alone nothing is read, and still she is of this flock.
        let known = ewe.met.iter().chain(&ewe.readings).map(|event| event.day);
        hers.contains(&ewe.first.day) || known.into_iter().any(|day| hers.contains(&day))
    });
    let list: Vec<Ewe> = before.map(|ewe| record(ewe, &groups, season, Some(since))).collect();
    let (prior, prior_is_list) = earlier::rows(book.journal().state(), &groups, season);
    // Records of this year tell more by the ewe; a few of them do not outweigh a whole flock of last year.
    let prior = if list.len() * RECORDS_WORTH >= prior.len() { Vec::new() } else { prior };
    let believed = if prior.is_empty() { &list } else { &prior };
    let in_lamb = believed.iter().filter(|ewe| ewe.litter.is_none_or(|litter| litter.lambs() > 0)).count();
    let (expected, from) = match (race.expected, in_lamb) {
        (Some(told), _) => (told as usize, NumberFrom::Told),
        (None, 0) => (usual_count(&bins), NumberFrom::Pens),
        (None, listed) if prior.is_empty() => (listed, NumberFrom::List),
        (None, listed) if prior_is_list => (listed, NumberFrom::Prior),
        (None, listed) => (listed, NumberFrom::LastSeason),
    };
    let lambs = believed.iter().filter(|ewe| ewe.age == Some(AgeClass::EweLamb)).count();
    // A first lambing before the first day of feeding is a slip of the pen: nobody is taken as overdue for it.
    let told_due = race.first_due.max(race.on);
    let flock = Flock::new(&list, sort.system);
    let due = flock.fill(&Ewe::unknown(String::new())).due;
    Ok(Ground {
        bins,
        ways: race.ways.map(|ways| ways as usize).filter(|ways| (2..pens.len()).contains(ways)),
        pens,
        groups,
        sort,
        expected,
        from,
        ewe_lambs: race.ewe_lambs.map_or(lambs, |told| told as usize),
        first_due: due.filter(|day| *day >= race.on).unwrap_or(told_due),
        flock,
        list,
        prior,
        prior_is_list,
        since,
        season: season.clone(),
    })
}

/// A ewe as one row of a flock list would have her: what stands of her this season, or what stood before a day.
fn record(ewe: &journal::Ewe, groups: &[MatingGroup], season: &Season, before: Option<Day>) -> Ewe {
    let hers = season.of(ewe);
    let standing = |topic| match before {
        Some(end) => hers.between(topic, hers.from, end),
        None => hers.standing(topic),
    };
    let row = row(ewe, groups, |topic| Value::of(standing(topic)?.holds));
    Ewe { age: hers.age(before).map(|age| age.class), ..row }
}

/// A ewe as one row of a flock list, from what is taken to be so of each thing.
fn row<'e>(ewe: &'e journal::Ewe, groups: &[MatingGroup], value: impl Fn(Topic) -> Option<Value<'e>>) -> Ewe {
    let mut row = Ewe::unknown(ewe.name().as_ref().map(key).unwrap_or_default());
    if let Some(Value::Scanned(lambs)) = value(Topic::Scanned) {
        row.litter = Some(lambs);
    }
    if let Some(Value::Condition(score)) = value(Topic::Condition) {
        row.condition = Some(score);
    }
    if let Some(Value::Age(age)) = value(Topic::Age) {
        row.age = Some(age);
    }
    if let Some(Value::Weight(kg)) = value(Topic::Weight) {
        row.weight = Some(Kg::new(kg));
    }
    if let Some(Value::Due(group, day)) = value(Topic::Due) {
        row.due = due(groups, group, day);
    }
    row.shorn = value(Topic::Fleece) == Some(Value::Fleece(true));
    row
}

/// What the draft knows a ewe by: two may have one tag, and no two one name.
pub(super) fn key(name: &Name) -> String {
    match name {
        Name::Eid(eid) => eid.digits().to_owned(),
        Name::Tag(tag) => tag.clone(),
    }
}

fn due(groups: &[MatingGroup], group: Option<&str>, day: Option<Day>) -> Due {
    match (day, group) {
        (Some(day), _) => Due::On(day),
        (None, Some(group)) => io::due_of_group(groups, group),
        (None, None) => Due::Unknown,
    }
}

impl Ground {
    /// Whether a draft begins alike from both.
    pub(super) fn tells_as(&self, other: &Self) -> bool {
        let alike = |one: &Self| (one.expected, one.ewe_lambs, one.ways, one.first_due, one.since);
        alike(self) == alike(other)
            && (self.sort.on, self.sort.system) == (other.sort.on, other.sort.system)
            && self.pens == other.pens
            && self.groups == other.groups
            && self.list == other.list
            && self.prior == other.prior
    }

    /// What the draft is told before the first ewe.
    pub(super) fn known(&self) -> Known {
        let (list, undated) = if self.prior.is_empty() {
            (&self.list, Due::On(self.first_due))
        } else {
            // That they are of an earlier year is seen by their days; without any they are taken to be of last year.
            (&self.prior, Due::On(self.first_due.plus(-YEAR_DAYS)))
        };
        let due = |ewe: &Ewe| if ewe.due == Due::Unknown { undated.clone() } else { ewe.due.clone() };
        let dated = list.iter().map(|ewe| Ewe { due: due(ewe), ..ewe.clone() });
        Known {
            list: (!list.is_empty()).then(|| dated.collect()),
            expected: self.expected,
            ewe_lambs: self.ewe_lambs,
            first_due: Some(self.first_due),
            ways: self.ways,
        }
    }

    /// A ewe of the journal as the draft takes her.
    pub(super) fn ready(&self, ewe: &journal::Ewe) -> Ewe {
        self.filled(record(ewe, &self.groups, &self.season, None))
    }

    /// Gaps of a ewe filled as the list suggests, so that what is answered of her never hangs on who else came
    /// before; only the score is left to the draft. Whoever has no day due is taken as one of the first: nobody
    /// is fed too late then.
    pub(super) fn filled(&self, ewe: Ewe) -> Ewe {
        let filled = self.flock.fill(&ewe);
        Ewe { age: Some(filled.age), weight: Some(filled.weight), due: self.dated(&ewe.due), ..ewe }
    }

    fn dated(&self, due: &Due) -> Due {
        if *due == Due::Unknown { Due::On(self.first_due) } else { due.clone() }
    }

    /// When a ewe of a group is due.
    pub(super) fn due_of(&self, group: Option<&str>, day: Option<Day>) -> Due {
        due(&self.groups, group, day)
    }

    /// A pen's place among the pens.
    pub(super) fn place(&self, name: &str) -> Option<usize> {
        self.pens.iter().position(|pen| pen.name == name)
    }

    /// What a ewe without gaps takes in a pen: millimetres of trough, thousandths of a square metre.
    pub(super) fn room(&self, ewe: &Ewe, pen: usize) -> [u64; 2] {
        let weight = self.flock.fill(ewe).weight;
        let rooms = space::room(weight, ewe.shorn, self.sort.system, self.sort.horned_trough_percent);
        let kind = self.bins.get(pen).map_or(0, |bin| bin.space_type);
        rooms.get(kind).copied().unwrap_or_default().map(u64::from)
    }
}

fn usual_count(bins: &[Bin]) -> usize {
    let rooms = space::room(Kg::new(USUAL_KG), false, crate::sort::System::Lowland, 0.0);
    let head = |bin: &Bin| {
        let room = rooms.get(bin.space_type).copied().unwrap_or([1, 1]);
        let fits = bin.capacity.iter().zip(room).map(|(has, takes)| *has / u64::from(takes).max(1));
        fits.min().unwrap_or(0).min(bin.max_head as u64) as f64
    };
    (bins.iter().map(head).sum::<f64>() * USUAL_FILL) as usize
}
