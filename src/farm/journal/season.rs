//! Which readings are of the pregnancy under way, and which are of an earlier one.
//!
//! A journal is kept for years, and nobody closes one. What belongs to one pregnancy (lambs, condition, weight, when
//! she is due, pen, fleece) counts at a race only if it was read within the longest pregnancy before it: whatever is
//! older is of lambs that are born. It is so too where she was due so long before the race that even the longest
//! pregnancy is over, which tells two lambings of one year apart. What is older is known of her from an earlier
//! season: what may come, and no record. Her age class goes on with the winters. Marks and notes hold until they
//! are cleared.

use crate::day::Day;
use crate::farm::journal::words;
use crate::flock::{AgeClass, Due, MatingGroup};
use crate::io;
use crate::journal::{Event, Ewe, Standing, Topic, Value};
use crate::requirement::gestation::RANGE_DAYS;
use crate::sort::reason::capital;

/// No pregnancy is longer, days (its source stands beside it).
const LONGEST_DAYS: i32 = RANGE_DAYS[1] as i32;
/// So many days after the day that she was due, reckoned by the shortest, even the longest is over.
const OVERDUE_DAYS: i32 = (RANGE_DAYS[1] - RANGE_DAYS[0]) as i32;
/// A year, days.
pub(in crate::farm) const YEAR_DAYS: i32 = 365;
/// By so many days races of two winters may be nearer than a year (our choice, no source).
const NEARER_DAYS: i32 = 91;

/// The season of a race.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::farm) struct Season {
    race: Day,
    groups: Vec<MatingGroup>,
}

/// One ewe in that season.
#[derive(Debug, Clone, Copy)]
pub(in crate::farm) struct Hers<'e> {
    ewe: &'e Ewe,
    race: Day,
    /// The first day that can be of the pregnancy under way.
    pub from: Day,
}

/// An age class, and what it was said to be in an earlier winter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::farm) struct AgeNow {
    /// Her class now.
    pub class: AgeClass,
    /// The class that was said, and when, where she has grown out of it.
    pub said: Option<(AgeClass, Day)>,
}

/// What stands of one thing of a ewe: in a season, or of whatever season where none is meant.
pub(in crate::farm) fn value<'e>(ewe: &'e Ewe, topic: Topic, season: Option<&Season>) -> Option<Value<'e>> {
    match season.map(|season| season.of(ewe)) {
        Some(hers) if topic == Topic::Age => hers.age(None).map(|age| Value::Age(age.class)),
        Some(hers) => hers.value(topic),
        None => Value::of(ewe.standing(topic)?.holds),
    }
}

/// Whether a day is of an earlier season than another.
pub(in crate::farm) fn is_over(day: Day, on: Day) -> bool {
    on.since(day) > LONGEST_DAYS
}

impl Season {
    /// The season of a race that begins on a day; the groups say when their ewes are due.
    pub(in crate::farm) fn of_race(race: Day, groups: Vec<MatingGroup>) -> Self {
        Self { race, groups }
    }

    /// A ewe in it.
    pub(in crate::farm) fn of<'e>(&self, ewe: &'e Ewe) -> Hers<'e> {
        let window = self.race.plus(-LONGEST_DAYS);
        let over = ewe.of(Topic::Due).filter_map(|event| {
            // Of several on one day the one that stands tells.
            let standing = ewe.on(Topic::Due, event.day).filter(|standing| standing.holds.id == event.id)?;
            let over = self.last_due(standing.holds)?.plus(OVERDUE_DAYS);
            // A day that was past when it was given is a slip, and tells of no pregnancy.
            (event.day <= over && over < self.race).then(|| over.plus(1))
        });
        Hers { ewe, race: self.race, from: over.fold(window, Day::max) }
    }

    /// Whether an event of no ewe is of this season.
    pub(in crate::farm) fn has(&self, event: &Event) -> bool {
        !is_over(event.day, self.race)
    }

    /// The last day that a reading says she is due.
    fn last_due(&self, event: &Event) -> Option<Day> {
        let Some(Value::Due(group, day)) = Value::of(event) else { return None };
        day.or_else(|| match io::due_of_group(&self.groups, group?) {
            Due::Between { last, .. } => Some(last),
            Due::On(day) => Some(day),
            Due::Unknown => None,
        })
    }
}

impl<'e> Hers<'e> {
    /// What stands of one thing; nothing where it was read in earlier seasons alone.
    pub(in crate::farm) fn standing(self, topic: Topic) -> Option<Standing<'e>> {
        self.ewe.standing(topic).filter(|standing| standing.day >= self.from)
    }

    /// The same as a value.
    pub(in crate::farm) fn value(self, topic: Topic) -> Option<Value<'e>> {
        Value::of(self.standing(topic)?.holds)
    }

    /// What stood of one thing from a day up to before another.
    pub(in crate::farm) fn between(self, topic: Topic, from: Day, end: Day) -> Option<Standing<'e>> {
        let days = self.ewe.of(topic).map(|event| event.day).filter(|day| (from..end).contains(day));
        self.ewe.on(topic, days.max()?)
    }

    /// What was last read of one thing in earlier seasons.
    pub(in crate::farm) fn earlier(self, topic: Topic) -> Option<Standing<'e>> {
        let days = self.ewe.of(topic).map(|event| event.day).filter(|day| *day < self.from);
        self.ewe.on(topic, days.max()?)
    }

    /// Her age class at the race, or by what was said before a day.
    pub(in crate::farm) fn age(self, end: Option<Day>) -> Option<AgeNow> {
        let days = self.ewe.of(Topic::Age).map(|event| event.day);
        let day = days.filter(|day| end.is_none_or(|end| *day < end)).max()?;
        let Some(Value::Age(said)) = Value::of(self.ewe.on(Topic::Age, day)?.holds) else { return None };
        if day >= self.from {
            return Some(AgeNow { class: said, said: None });
        }
        // Whoever was in lamb when it was said has lambed since, however soon she is in lamb again.
        let lambed = self.ewe.of(Topic::Scanned).any(|event| {
            let is_in_lamb = matches!(Value::of(event), Some(Value::Scanned(litter)) if litter.lambs() > 0);
            is_in_lamb && event.day < self.from && event.day.since(day).abs() <= LONGEST_DAYS
        });
        let winters = ((self.race.since(day) + NEARER_DAYS) / YEAR_DAYS).max(i32::from(lambed));
        let class = match (said, winters) {
            (_, ..=0) => said,
            (AgeClass::EweLamb, 1) => AgeClass::Shearling,
            _ => AgeClass::Mature,
        };
        Some(AgeNow { class, said: (class != said).then_some((said, day)) })
    }

    /// Whether she was met or read of in this season.
    pub(in crate::farm) fn is_of_it(self) -> bool {
        self.ewe.last.day >= self.from || self.ewe.readings.iter().any(|event| event.day >= self.from)
    }

    /// What was read of her in earlier seasons and not yet in this one, in sentences.
    pub(in crate::farm) fn earlier_words(self) -> Vec<String> {
        let mut said = Vec::new();
        if let Some(AgeNow { class, said: Some((then, day)) }) = self.age(None) {
            let then = capital(then.in_words());
            said.push(format!("{then} on {}, so {} now.", day.in_words(), class.in_words()));
        }
        // Her condition is felt anew at each race; what she carried then is what might be taken for what she carries.
        if let (None, Some(scan)) = (self.standing(Topic::Scanned), self.earlier(Topic::Scanned))
            && let Some(value) = Value::of(scan.holds)
        {
            let (day, value) = (scan.day.in_words(), words::value(value));
            said.push(format!("Her scan of {day}, {value}, is of an earlier season."));
        }
        said
    }
}
