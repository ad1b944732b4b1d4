//! The pens, and the levels that the sort of what is expected gives them.

use crate::farm::journal::Book;
use crate::farm::race::RaceSettings;
use crate::flock::{AgeClass, Due, Ewe, Litter, MatingGroup, Score};
use crate::io;
use crate::io::pen_list;
use crate::journal::{self, Topic, Value};
use crate::pen::Pen;
use crate::problem::{Problem, Severity};
use crate::quantity::Kg;
use crate::solve::instance::Bin;
use crate::sort::gaps::Flock;
use crate::sort::measure::measure;
use crate::sort::{Outcome, Plan, Settings, into_pens, plan, space};

/// Litter sizes 1 to 4 of pregnant ewes at 1.9, 1.6 and 1.3 lambs a ewe (lowland, upland, hill): a latent normal
/// with thresholds fitted to published scanning counts (Tullamore 2019, 2020 and UCD 2020, 2022 in the Irish farm
/// press; the rule of Knight, Hall & Wilson 1983 on how mixes shift).
const LITTERS: [[f64; 4]; 3] =
    [[0.281, 0.540, 0.177, 0.002], [0.475, 0.449, 0.075, 0.001], [0.719, 0.262, 0.019, 0.000]];
/// Condition of ewes not scored yet: half at 3, a quarter half a score either side (spread 0.35 against 0.40
/// within flocks, derived from Pollott & Kilkenny 1976; year from memory).
const SCORES: [(f64, f64); 3] = [(0.25, 2.5), (0.75, 3.0), (1.0, 3.5)];
/// A cycle of the ewe, days; four in five are due in the first (UCD 2020 and 2022 in the Irish farm press).
const CYCLE_DAYS: f64 = 17.0;
const FIRST_CYCLE: f64 = 0.8;
/// Of the pens' room so much is expected to be used where nobody says how many come (our choice, no source).
const USUAL_FILL: f64 = 0.9;
/// The most ewes that are expected (our choice: the sort stays within a blink).
const MOST_EXPECTED: usize = 1000;
/// Fewer are tried, a tenth at a time, where what is expected does not fit.
const TRIES: usize = 12;

/// The pens of a race.
#[derive(Debug)]
pub(super) struct Ground {
    /// The pens, in their order.
    pub pens: Vec<Pen>,
    pub bins: Vec<Bin>,
    pub groups: Vec<MatingGroup>,
    /// Settings of the sort, with the length of the period fixed.
    pub sort: Settings,
    /// The first day that any is due, as somebody said.
    first_due: crate::day::Day,
    /// Level by pen and day; empty for a pen that is not planned for.
    pub levels: Vec<Vec<f64>>,
    /// Whom each pen is planned for: `triplets`.
    pub meant: Vec<Option<&'static str>>,
    flock: Flock,
}

/// The names of the pens in the journal, in their order.
pub(super) fn names(book: &Book) -> Option<Vec<String>> {
    let pens = io::pens(book.pens_csv()?.as_bytes()).records;
    Some(pens.into_iter().map(|pen| pen.name).collect())
}

/// Sorts what is expected.
pub(super) fn lay(book: &Book, race: &RaceSettings) -> Result<Ground, Vec<Problem>> {
    // A first lambing before the first day of feeding is a slip of the pen: nobody is taken as overdue for it.
    let race = &RaceSettings { first_due: race.first_due.max(race.on), ..race.clone() };
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
    let known = io::flock(book.flock_csv().as_bytes(), Some(&groups), None).reading.records;
    let mut bins: Vec<Bin> = pens.iter().map(|pen| space::bin(pen, sort.min_head)).collect();
    for bin in &mut bins {
        bin.fair_head = 0.0;
    }
    let mut count = race.expected.map_or_else(|| usual_count(&bins, &known), |count| count as usize);
    count = count.min(MOST_EXPECTED);
    for _ in 0..TRIES {
        let mut expected = expected(&known, count, race);
        let flock = Flock::new(&expected, sort.system);
        for ewe in &mut expected {
            date(ewe, race.first_due);
        }
        let first = plan(expected, pens.clone(), &sort);
        if let Outcome::Sorted(solution) = into_pens(&first) {
            return Ok(ground(first, &solution.assignment, (pens, bins, groups), flock, race));
        }
        count = count * 9 / 10;
        if count == 0 {
            break;
        }
    }
    Err(none("No sort of the ewes expected into these pens was found.", "Check the sizes of the pens."))
}

fn ground(
    plan: Plan,
    assignment: &[usize],
    (pens, bins, groups): (Vec<Pen>, Vec<Bin>, Vec<MatingGroup>),
    flock: Flock,
    race: &RaceSettings,
) -> Ground {
    let measured = measure(&plan, assignment);
    let litters = |members: &[usize]| {
        let mut counts = [0_usize; Litter::MOST as usize + 1];
        for ewe in members.iter().filter_map(|&at| plan.ewes.get(at)) {
            if let Some(count) = counts.get_mut(usize::from(ewe.litter.lambs())) {
                *count += 1;
            }
        }
        counts
    };
    let all = litters(&(0..plan.ewes.len()).collect::<Vec<_>>());
    let meant = measured.pens.iter().map(|pen| {
        // The litter size that stands there more than elsewhere, of those that are a quarter of the pen.
        let here = litters(&pen.members);
        let share = |lambs: &usize| {
            let (here, all) = (here.get(*lambs).copied()?, all.get(*lambs).copied()?);
            (here > 0 && 4 * here >= pen.members.len()).then(|| here as f64 / all.max(1) as f64)
        };
        let best = (1..here.len()).filter_map(|lambs| Some((lambs, share(&lambs)?)));
        let (lambs, _) = best.max_by(|one, other| one.1.total_cmp(&other.1))?;
        Litter::of(u8::try_from(lambs).ok()?).map(plural)
    });
    Ground {
        meant: meant.collect(),
        levels: measured.pens.iter().map(|pen| pen.me_levels.clone()).collect(),
        sort: Settings { period_days: u32::try_from(plan.days.len()).ok(), ..plan.settings },
        first_due: race.first_due,
        pens,
        bins,
        groups,
        flock,
    }
}

fn plural(litter: Litter) -> &'static str {
    match litter.lambs() {
        1 => "singles",
        other => Litter::of(other).map_or("twins", Litter::in_words),
    }
}

impl Ground {
    /// The pens' names in their order.
    pub(super) fn names(&self) -> Vec<String> {
        self.pens.iter().map(|pen| pen.name.clone()).collect()
    }

    /// A pen's place among the pens.
    pub(super) fn place(&self, name: &str) -> Option<usize> {
        self.pens.iter().position(|pen| pen.name == name)
    }

    /// A ewe of the journal in the pen that she was given: its place, and the room that she takes.
    pub(super) fn stand(&self, ewe: &journal::Ewe) -> Option<(usize, [u64; 2])> {
        let Some(Value::Pen(pen)) = ewe.standing(Topic::Pen).and_then(|standing| Value::of(standing.holds))
        else {
            return None;
        };
        let place = self.place(pen)?;
        let age = match ewe.standing(Topic::Age).and_then(|standing| Value::of(standing.holds)) {
            Some(Value::Age(age)) => Some(age),
            _ => None,
        };
        let weight = match ewe.standing(Topic::Weight).and_then(|standing| Value::of(standing.holds)) {
            Some(Value::Weight(kg)) => Some(Kg::new(kg)),
            _ => None,
        };
        let record = Ewe { age, weight, ..Ewe::unknown(ewe.called()) };
        Some((place, self.room(&record, place)))
    }

    /// What a ewe takes in a pen: millimetres of trough, thousandths of a square metre.
    pub(super) fn room(&self, ewe: &Ewe, pen: usize) -> [u64; 2] {
        let weight = self.flock.fill(ewe).weight;
        let rooms = space::room(weight, ewe.shorn, self.sort.system, self.sort.horned_trough_percent);
        let kind = self.bins.get(pen).map_or(0, |bin| bin.space_type);
        rooms.get(kind).copied().unwrap_or_default().map(u64::from)
    }

    /// The age class that she is taken for.
    pub(super) fn age(&self, ewe: &Ewe) -> AgeClass {
        self.flock.fill(ewe).age
    }

    /// A ewe as one row of a flock list would have her, gaps filled as the flock suggests; then her plan alone.
    pub(super) fn plan_of(&self, ewe: Ewe) -> Plan {
        let mut ewe = ewe;
        let filled = self.flock.fill(&ewe);
        (ewe.weight, ewe.age) = (Some(filled.weight), Some(filled.age));
        date(&mut ewe, self.first_due);
        plan(vec![ewe], self.pens.clone(), &self.sort)
    }

    /// The due days of a lambing group, as the files have them.
    pub(super) fn due_of(&self, group: Option<&str>, due: Option<crate::day::Day>) -> Due {
        let cells = vec![
            "she".to_owned(),
            group.unwrap_or_default().to_owned(),
            due.map(|day| day.to_string()).unwrap_or_default(),
        ];
        let file = pen_list::write(&["tag", "group", "due"], &[cells]);
        let groups = (!self.groups.is_empty()).then_some(self.groups.as_slice());
        let read = io::flock(file.as_bytes(), groups, None).reading.records.into_iter().next();
        read.map_or(Due::Unknown, |ewe| ewe.due)
    }
}

/// Where no due day is known she is taken as one of the first: nobody is fed too late then.
fn date(ewe: &mut Ewe, first_due: crate::day::Day) {
    if ewe.due == Due::Unknown {
        ewe.due = Due::On(first_due);
    }
}

fn usual_count(bins: &[Bin], known: &[Ewe]) -> usize {
    // A grown ewe's room is asked of the tables at 75 kg (Irish and British cross-breds; science sheet).
    let rooms = space::room(Kg::new(75.0), false, crate::sort::System::Lowland, 0.0);
    let head = |bin: &Bin| {
        let room = rooms.get(bin.space_type).copied().unwrap_or([1, 1]);
        let fits = bin.capacity.iter().zip(room).map(|(has, takes)| *has / u64::from(takes).max(1));
        fits.min().unwrap_or(0).min(bin.max_head as u64) as f64
    };
    let usual = bins.iter().map(head).sum::<f64>() * USUAL_FILL;
    known.len().max(usual as usize)
}

/// The ewes on record that are scanned in lamb, and invented ones for the rest.
fn expected(known: &[Ewe], count: usize, race: &RaceSettings) -> Vec<Ewe> {
    let in_lamb = |ewe: &&Ewe| ewe.litter.is_some_and(|litter| litter.lambs() > 0);
    let mut list: Vec<Ewe> = known.iter().filter(in_lamb).take(count).cloned().collect();
    let rest = count - list.len();
    let shares = LITTERS.get(race.system as usize).copied().unwrap_or_default();
    for at in 0..rest {
        let share = (at as f64 + 0.5) / rest as f64;
        // Steps by irrational parts of one spread evenly whatever the count.
        let apart = |part: f64| (at as f64 * part).fract();
        let mut lambs = 1;
        let mut sum = 0.0;
        for (carried, part) in (1_u8..).zip(shares) {
            sum += part;
            lambs = carried;
            if share < sum {
                break;
            }
        }
        let score = SCORES
            .iter()
            .find(|(up_to, _)| apart(0.618_033_988_749) < *up_to)
            .map_or(3.0, |(_, score)| *score);
        let in_cycle = apart(0.414_213_562_373);
        let days = if apart(0.732_050_807_568) < FIRST_CYCLE {
            in_cycle * CYCLE_DAYS
        } else {
            (1.0 + in_cycle) * CYCLE_DAYS
        };
        list.push(Ewe {
            litter: Litter::of(lambs),
            condition: Score::of(score),
            due: Due::On(race.first_due.plus(days as i32)),
            age: Some(AgeClass::Mature),
            ..Ewe::unknown(format!("expected {at}"))
        });
    }
    list
}
