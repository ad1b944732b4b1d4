//! The checked problem: every ewe with what she needs on every day, every pen with its limits.

use crate::day::Day;
use crate::flock::{Ewe, Litter};
use crate::pen::Pen;
use crate::problem::Problem;
use crate::quantity::{GramPerDay, KgDmPerDay, MjPerDay, MjPerKgDm};
use crate::requirement::condition::{self, Body, Correction};
use crate::requirement::{self, Afrc1993, Standard, State, TERM_DAYS, intake};
use crate::solve::instance::{Instance, Room};
use crate::sort::apart::{self, Apart};
use crate::sort::band::band;
use crate::sort::gaps::{Filled, Flock};
use crate::sort::notice;
use crate::sort::numbers;
use crate::sort::settings::{Keep, Settings};
use crate::sort::space;
use crate::sort::standing::Standing;

/// What a ewe needs on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayNeed {
    /// Metabolisable energy, condition included.
    pub me: MjPerDay,
    /// Metabolisable protein.
    pub mp: GramPerDay,
    /// Dry matter that she can eat.
    pub intake: KgDmPerDay,
}

impl DayNeed {
    /// The energy density that her ration must have.
    pub fn density(&self) -> MjPerKgDm {
        self.me / self.intake
    }
}

/// A ewe ready to be sorted.
#[derive(Debug, Clone)]
pub struct PlannedEwe {
    /// Her record.
    pub ewe: Ewe,
    /// Lambs carried.
    pub litter: Litter,
    /// Her record without gaps.
    pub filled: Filled,
    /// The day she is due, as used.
    pub due: Day,
    /// What condition adds or takes.
    pub correction: Correction,
    /// Target condition.
    pub target: f64,
    /// Need by day.
    pub needs: Vec<DayNeed>,
    /// Energy need on the first day, lowest and highest, nine times in ten.
    pub band: [MjPerDay; 2],
    /// Room by space type.
    pub room: [Room; space::TYPES],
    /// The pen she is kept in by hand.
    pub kept: Option<usize>,
}

impl PlannedEwe {
    /// Days to lambing on a day; 0 from the day she is due.
    pub fn days_to_lambing(&self, day: Day) -> u32 {
        self.due.since(day).clamp(0, TERM_DAYS as i32) as u32
    }

    /// What she needs on a day, condition included.
    pub fn need_on(&self, day: Day, diet: MjPerKgDm) -> DayNeed {
        let state = self.state(day, diet);
        let requirement::Need { me, mp, .. } = Afrc1993.need(&state);
        DayNeed {
            me: me + self.correction.on(state.days_to_lambing),
            mp,
            intake: intake::capacity(state.weight, state.litter, state.days_to_lambing),
        }
    }

    /// Her state on a day, as the equations see it.
    pub fn state(&self, day: Day, diet: MjPerKgDm) -> State {
        State {
            growth: self.filled.growth,
            age_years: requirement::usual_years(self.filled.age),
            ..State::housed(self.filled.weight, self.litter, self.days_to_lambing(day), diet)
        }
    }
}

/// The checked problem.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The settings.
    pub settings: Settings,
    /// The days of the feeding period.
    pub days: Vec<Day>,
    /// The ewes to sort, in file order.
    pub ewes: Vec<PlannedEwe>,
    /// The pens, in file order.
    pub pens: Vec<Pen>,
    /// Mean intake of the sorted flock, by day.
    pub mean_intake: Vec<KgDmPerDay>,
    /// The same in numbers, for the solver.
    pub instance: Instance,
    /// Ewes that are not sorted, in file order.
    pub set_apart: Vec<Apart>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
    /// Where the ewes stand, where a sort from there charges for moves.
    pub standing: Option<Standing>,
}

/// The diet on which the efficiencies stand.
pub fn diet(settings: &Settings) -> MjPerKgDm {
    MjPerKgDm::new(settings.diet_me_mj_per_kg_dm)
}

/// Builds the problem. Ewes that cannot be sorted are set apart with the reason; those whose dates cannot be
/// right make error problems.
pub fn plan(ewes: Vec<Ewe>, pens: Vec<Pen>, settings: &Settings) -> Plan {
    let mut problems = notice::wrong_settings(settings);
    problems.extend(notice::too_many_pens(pens.len()));
    let flock = Flock::new(&ewes, settings.system);
    let mut set_apart = Vec::new();
    let mut drafted: Vec<(Ewe, Litter, Filled, Day)> = Vec::new();
    for ewe in ewes {
        let filled = flock.fill(&ewe);
        match sortable(&ewe, &filled, settings) {
            Ok((litter, due)) => drafted.push((ewe, litter, filled, due)),
            Err(why) => {
                let NotSorted { apart, problem } = *why;
                set_apart.push(apart);
                problems.extend(problem);
            }
        }
    }
    let days = period(settings, drafted.iter().map(|(.., due)| *due).min());
    let planned: Vec<PlannedEwe> = drafted
        .into_iter()
        .map(|(ewe, litter, filled, due)| planned(ewe, litter, filled, due, &days, settings))
        .collect();
    finish(planned, pens, days, set_apart, problems, settings)
}

/// A ewe that is not sorted, and what is wrong where something is.
pub(super) struct NotSorted {
    pub(super) apart: Apart,
    pub(super) problem: Option<Problem>,
}

/// The litter and the due day of a ewe who can be sorted; otherwise why she cannot.
pub(super) fn sortable(
    ewe: &Ewe,
    filled: &Filled,
    settings: &Settings,
) -> Result<(Litter, Day), Box<NotSorted>> {
    let undatable = |problem: Problem| {
        Box::new(NotSorted { apart: apart::undatable(ewe, &problem), problem: Some(problem) })
    };
    match (ewe.litter, filled.due) {
        (None, _) => {
            Err(Box::new(NotSorted { apart: apart::unscanned(ewe, filled, settings), problem: None }))
        }
        (Some(litter), _) if litter.lambs() == 0 => {
            Err(Box::new(NotSorted { apart: apart::barren(ewe, filled, settings), problem: None }))
        }
        (Some(_), None) => Err(undatable(apart::no_dates(ewe))),
        (Some(litter), Some(due)) => match apart::wrong_date(ewe, due, settings.on) {
            Some(problem) => Err(undatable(problem)),
            None => Ok((litter, due)),
        },
    }
}

impl Plan {
    /// The ewes set apart whose litter is not known, each as if with twins, in one pen of this name; nothing where there
    /// are none who can be dated.
    pub fn of_unscanned(&self, set_apart: &[Apart], pen: &str) -> Option<Self> {
        let of = set_apart.iter().filter_map(|apart| apart.unscanned.as_deref());
        let ewes: Vec<PlannedEwe> = of
            .filter_map(|apart::Unscanned { ewe, filled, due }| {
                let litter = Litter::of(apart::UNTIL_SCANNED)?;
                Some(planned(ewe.clone(), litter, filled.clone(), *due, &self.days, &self.settings))
            })
            .collect();
        let place =
            Pen { name: pen.to_owned(), only: Vec::new(), not: Vec::new(), ..self.pens.first()?.clone() };
        (!ewes.is_empty()).then(|| self.with(ewes, vec![place]))
    }

    /// The plan of ewes that were made ready one by one.
    pub(super) fn of(ewes: Vec<PlannedEwe>, pens: Vec<Pen>, days: Vec<Day>, settings: &Settings) -> Self {
        finish(ewes, pens, days, Vec::new(), Vec::new(), settings)
    }

    /// The same plan for fewer ewes or other pens; nothing is said anew.
    #[must_use]
    pub fn with(&self, ewes: Vec<PlannedEwe>, pens: Vec<Pen>) -> Self {
        let settings = Settings { keep: Vec::new(), ..self.settings.clone() };
        let mut plan = finish(ewes, pens, self.days.clone(), Vec::new(), Vec::new(), &settings);
        plan.problems.clear();
        plan
    }

    /// The same plan with other ewes kept by hand; its problems are only those of the keeping.
    #[must_use]
    pub fn keeping(&self, keep: &[Keep]) -> Self {
        let settings = Settings { keep: keep.to_vec(), ..self.settings.clone() };
        let mut ewes = self.ewes.clone();
        for ewe in &mut ewes {
            ewe.kept = None;
        }
        let mut plan = finish(ewes, self.pens.clone(), self.days.clone(), Vec::new(), Vec::new(), &settings);
        plan.problems.retain(|problem| problem.code == "cannot-keep");
        match &self.standing {
            Some(standing) => plan.charging_moves(standing.clone()),
            None => plan,
        }
    }

    /// The problem of some of the ewes, in the order given, and of other pens; nobody is kept by hand, and
    /// nothing is said of it.
    #[must_use]
    pub fn part(&self, ewes: &[usize], pens: Vec<Pen>, min_head: u32) -> Self {
        let settings = Settings { keep: Vec::new(), min_head, ..self.settings.clone() };
        let ewes = ewes
            .iter()
            .filter_map(|&ewe| self.ewes.get(ewe))
            .map(|ewe| PlannedEwe { kept: None, ..ewe.clone() })
            .collect();
        let plan = finish(ewes, pens, self.days.clone(), Vec::new(), Vec::new(), &settings);
        Self { problems: Vec::new(), ..plan }
    }
}

fn finish(
    mut ewes: Vec<PlannedEwe>,
    pens: Vec<Pen>,
    days: Vec<Day>,
    set_apart: Vec<Apart>,
    mut problems: Vec<Problem>,
    settings: &Settings,
) -> Plan {
    for keep in &settings.keep {
        let ewe = ewes.iter_mut().find(|ewe| ewe.ewe.tag == keep.tag);
        let pen = pens.iter().position(|pen| pen.name == keep.pen);
        match (ewe, pen) {
            (Some(ewe), Some(pen)) if pens[pen].takes(ewe.filled.age) => ewe.kept = Some(pen),
            (ewe, _) => {
                problems.push(notice::cannot_keep(&keep.tag, &keep.pen, ewe.is_some(), pen.is_some()))
            }
        }
    }
    let mean_intake: Vec<KgDmPerDay> = (0..days.len())
        .map(|day| {
            let sum: KgDmPerDay = ewes.iter().map(|ewe| ewe.needs[day].intake).sum();
            sum * (1.0 / (ewes.len().max(1) as f64))
        })
        .collect();
    let instance = numbers::instance(&ewes, &pens, &mean_intake, settings, &mut problems);
    problems.extend(notice::to_watch(&ewes, settings));
    let settings = settings.clone();
    Plan { settings, days, ewes, pens, mean_intake, instance, set_apart, problems, standing: None }
}

/// The days of the feeding period: to the first lambing where nobody says, at most three weeks.
pub(super) fn period(settings: &Settings, first_lambing: Option<Day>) -> Vec<Day> {
    let usual = first_lambing
        .map_or(1, |first| first.since(settings.on).clamp(1, Settings::USUAL_DAYS as i32) as u32);
    let count = settings.period_days.unwrap_or(usual).clamp(1, Settings::MOST_DAYS);
    (0..count as i32).map(|day| settings.on.plus(day)).collect()
}

/// A ewe made ready: her need on each day, her room, and how far her need may be out.
pub(super) fn planned(
    ewe: Ewe,
    litter: Litter,
    filled: Filled,
    due: Day,
    days: &[Day],
    settings: &Settings,
) -> PlannedEwe {
    let mut planned = outlined(ewe, litter, filled, due, days, settings);
    if let Some(&on) = days.first() {
        planned.band = band(&planned, on, diet(settings));
    }
    planned
}

/// The same without how far her need may be out: for ewes who are only thought of.
pub(super) fn outlined(
    ewe: Ewe,
    litter: Litter,
    filled: Filled,
    due: Day,
    days: &[Day],
    settings: &Settings,
) -> PlannedEwe {
    let target = condition::target(settings.system as usize);
    let on = days.first().copied().unwrap_or(settings.on);
    let correction = condition::correction(&Body {
        score: filled.condition,
        target,
        weight: filled.weight,
        litter,
        days_to_lambing: due.since(on).clamp(0, TERM_DAYS as i32) as u32,
    });
    let room = space::room(filled.weight, ewe.shorn, settings.system, settings.horned_trough_percent);
    let mut planned = PlannedEwe {
        ewe,
        litter,
        filled,
        due,
        correction,
        target,
        needs: Vec::with_capacity(days.len()),
        band: [MjPerDay::new(0.0); 2],
        room,
        kept: None,
    };
    let diet = diet(settings);
    planned.needs = days.iter().map(|&day| planned.need_on(day, diet)).collect();
    planned
}
