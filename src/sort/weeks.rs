//! What the ewes of a pen need week by week until the last of them is due, by the sort's own loss.
//!
//! A sort looks at one feeding period; a plan of feeding goes on to the last lambing. Each ewe is fed up to and with
//! the day on which she is due, and then is gone from the pen. A week's level is the value at which the loss of its
//! ewes is least, as on a day of the sort: each ewe counts with her mean need of the days that she is there. It may be
//! above the richest ration that the sort gives to a pen: then the ewes need more than any ration holds, and what they
//! miss is told.

use crate::arrange::Arrange as _;
use crate::day::Day;
use crate::quantity::{GramPerDay, GramPerKgDm, KgDmPerDay, MjPerDay, MjPerKgDm};
use crate::sort::plan::{DayNeed, diet};
use crate::sort::{Plan, PlannedEwe, Settings};

/// Days of a week.
pub const DAYS: usize = 7;

/// A ewe in a pen in one week.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fed {
    /// Her place in the plan.
    pub ewe: usize,
    /// Days of the week on which she is fed there.
    pub days: u32,
    /// Her need, mean of these days.
    pub need: DayNeed,
    /// Weeks to her lambing, mean of these days.
    pub weeks_to_lambing: f64,
}

/// A pen in one week.
#[derive(Debug, Clone, PartialEq)]
pub struct PenWeek {
    /// The first day.
    pub first: Day,
    /// Ewes fed on each day; it ends with the last day on which there is one.
    pub head: Vec<u32>,
    /// The ewes, in the plan's order.
    pub ewes: Vec<Fed>,
    /// The level of energy: least loss over the ewes.
    pub density: MjPerKgDm,
    /// The level of protein, by the same quantile.
    pub protein: GramPerKgDm,
    /// What is eaten, mean of ewes and days.
    pub intake: KgDmPerDay,
}

impl PenWeek {
    /// Days on which ewes are fed, all added up.
    pub fn ewe_days(&self) -> u32 {
        self.head.iter().sum()
    }

    /// Energy that the level comes to, MJ ME a ewe a day.
    pub fn me(&self) -> MjPerDay {
        MjPerDay::new(self.density.value() * self.intake.value())
    }

    /// Protein that the level comes to, g MP a ewe a day.
    pub fn mp(&self) -> GramPerDay {
        GramPerDay::new(self.protein.value() * self.intake.value())
    }

    /// How a ration of so much energy, a ewe a day, serves the ewes: how many have all that they need, and how far
    /// the worst of the others is from it. Each eats by her own appetite.
    pub fn served(&self, me: MjPerDay, enough: MjPerDay) -> Served {
        let density = me.value() / self.intake.value().max(f64::MIN_POSITIVE);
        let short = |fed: &Fed| fed.need.me.value() - density * fed.need.intake.value();
        let shorts = self.ewes.iter().map(short);
        let worst = shorts.clone().fold(0.0, f64::max);
        let in_full = shorts.filter(|short| *short <= enough.value()).count();
        Served { in_full, of: self.ewes.len(), worst: MjPerDay::new(worst) }
    }

    /// Weeks to lambing of the ewe in the middle.
    pub fn middle_weeks(&self) -> f64 {
        let mut weeks: Vec<f64> = self.ewes.iter().map(|fed| fed.weeks_to_lambing).collect();
        weeks.arrange_by(f64::total_cmp);
        weeks.get(weeks.len().saturating_sub(1) / 2).copied().unwrap_or(0.0)
    }
}

/// How a ration serves a pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Served {
    /// Ewes that have all that they need.
    pub in_full: usize,
    /// Of how many.
    pub of: usize,
    /// What the worst served is short of; 0 where none is.
    pub worst: MjPerDay,
}

/// Each pen's weeks, from the first day of the plan to its last lambing; none for an empty pen.
pub fn weeks(plan: &Plan, assignment: &[usize]) -> Vec<Vec<PenWeek>> {
    let members = plan.instance.members(assignment);
    members.iter().map(|members| pen_weeks(plan, members)).collect()
}

fn pen_weeks(plan: &Plan, members: &[usize]) -> Vec<PenWeek> {
    let on = plan.settings.on;
    let last = members.iter().filter_map(|&ewe| plan.ewes.get(ewe)).map(|ewe| ewe.due).max();
    let Some(last) = last.filter(|last| *last >= on) else { return Vec::new() };
    // A ewe long overdue would be refused before; nobody is fed here for longer than a pregnancy lasts.
    let days = last.since(on).clamp(0, Settings::MOST_DAYS as i32) as usize + 1;
    let week =
        |week: usize| -> Vec<Day> { (0..DAYS).map(|day| on.plus((week * DAYS + day) as i32)).collect() };
    (0..days.div_ceil(DAYS)).filter_map(|number| pen_week(plan, members, &week(number))).collect()
}

/// A pen on some days, as if they were a week; nothing where nobody stands there on any of them.
pub fn on_days(plan: &Plan, assignment: &[usize], pen: usize, days: &[Day]) -> Option<PenWeek> {
    let members = plan.instance.members(assignment);
    pen_week(plan, members.get(pen)?, days)
}

fn pen_week(plan: &Plan, members: &[usize], days: &[Day]) -> Option<PenWeek> {
    let first = *days.first()?;
    let is_there = |ewe: &PlannedEwe, day: Day| ewe.due >= day;
    let diet = diet(&plan.settings);
    let fed = |&index: &usize| {
        let ewe = plan.ewes.get(index)?;
        let there: Vec<Day> = days.iter().copied().filter(|day| is_there(ewe, *day)).collect();
        let by = 1.0 / there.len().max(1) as f64;
        let needs: Vec<DayNeed> = there.iter().map(|day| ewe.need_on(*day, diet)).collect();
        let mean = |of: fn(&DayNeed) -> f64| by * needs.iter().map(of).sum::<f64>();
        let days_left: f64 = there.iter().map(|day| f64::from(ewe.days_to_lambing(*day))).sum();
        (!there.is_empty()).then(|| Fed {
            ewe: index,
            days: there.len() as u32,
            need: DayNeed {
                me: MjPerDay::new(mean(|need| need.me.value())),
                mp: GramPerDay::new(mean(|need| need.mp.value())),
                intake: KgDmPerDay::new(mean(|need| need.intake.value())),
            },
            weeks_to_lambing: by * days_left / DAYS as f64,
        })
    };
    let ewes: Vec<Fed> = members.iter().filter_map(fed).collect();
    if ewes.is_empty() {
        return None;
    }
    let head = days.iter().map(|day| {
        let there = ewes.iter().filter(|fed| plan.ewes.get(fed.ewe).is_some_and(|ewe| is_there(ewe, *day)));
        there.count() as u32
    });
    let head: Vec<u32> = head.take_while(|head| *head > 0).collect();
    let here: Vec<usize> = ewes.iter().map(|fed| fed.ewe).collect();
    let level = |of: &dyn Fn(&Fed) -> f64| {
        let value = |ewe: usize| ewes.iter().find(|fed| fed.ewe == ewe).map_or(0.0, of);
        plan.instance.best_value(&here, value, &mut Vec::new()).unwrap_or(0.0)
    };
    // Of no ration richer than there is one, since what is then missing must be seen.
    let [low, _] = Settings::LEVEL_LIMITS;
    let density = level(&|fed: &Fed| fed.need.density().value()).max(low);
    let protein = level(&|fed: &Fed| (fed.need.mp / fed.need.intake).value());
    let days: f64 = ewes.iter().map(|fed| f64::from(fed.days)).sum();
    let eaten: f64 = ewes.iter().map(|fed| f64::from(fed.days) * fed.need.intake.value()).sum();
    Some(PenWeek {
        first,
        head,
        density: MjPerKgDm::new(density),
        protein: GramPerKgDm::new(protein),
        intake: KgDmPerDay::new(eaten / days.max(1.0)),
        ewes,
    })
}
