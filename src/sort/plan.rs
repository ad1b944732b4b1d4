//! The checked problem: every ewe with what she needs on every day, every pen with its limits.

use crate::day::Day;
use crate::flock::{AgeClass, Ewe, Litter};
use crate::pen::Pen;
use crate::problem::{Problem, Severity};
use crate::quantity::{GramPerDay, Kg, KgDmPerDay, MjPerDay, MjPerKgDm};
use crate::requirement::condition::{self, Body, Correction};
use crate::requirement::{self, Afrc1993, Standard, State, TERM_DAYS, intake};
use crate::solve::instance::{Instance, Room};
use crate::sort::band::band;
use crate::sort::gaps::{Assumed, Filled, Flock};
use crate::sort::settings::{Keep, Settings};
use crate::sort::space;

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

    /// Her state on a day, as the equations see it.
    pub fn state(&self, day: Day, diet: MjPerKgDm) -> State {
        State {
            growth: self.filled.growth,
            age_years: requirement::usual_years(self.filled.age),
            ..State::housed(self.filled.weight, self.litter, self.days_to_lambing(day), diet)
        }
    }
}

/// A ewe that is not sorted.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// Her tag, or her row where it could not be read.
    pub tag: String,
    /// Why.
    pub why: String,
    /// What she still needs.
    pub needs: String,
    /// The line of the file.
    pub row: u32,
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
}

/// The diet on which the efficiencies stand.
pub fn diet(settings: &Settings) -> MjPerKgDm {
    MjPerKgDm::new(settings.diet_me_mj_per_kg_dm)
}

/// How far past her due day a ewe may be before her date is taken to be wrong (common practice, no source:
/// the longest gestations met are 159 days, 12 over term).
const MOST_OVERDUE: i32 = 12;

/// Builds the problem. Ewes that cannot be sorted are set apart with the reason; those whose dates cannot be
/// right make error problems.
pub fn plan(ewes: Vec<Ewe>, pens: Vec<Pen>, settings: &Settings) -> Plan {
    let mut problems = setting_problems(settings);
    let flock = Flock::new(&ewes, settings.system);
    let mut set_apart = Vec::new();
    let mut drafted: Vec<(Ewe, Litter, Filled, Day)> = Vec::new();
    for ewe in ewes {
        let filled = flock.fill(&ewe);
        match (ewe.litter, filled.due) {
            (None, _) => set_apart.push(unscanned(&ewe, &filled, settings)),
            (Some(litter), _) if litter.lambs() == 0 => set_apart.push(barren(&ewe, &filled, settings)),
            (Some(_), None) => {
                problems.push(no_dates(&ewe));
                set_apart.push(Apart {
                    tag: ewe.tag.clone(),
                    why: "no ewe of this flock has a due date or a group".to_owned(),
                    needs: "a due date or a mating group; until then a place and feed".to_owned(),
                    row: ewe.row,
                });
            }
            (Some(litter), Some(due)) => match wrong_date(&ewe, due, settings.on) {
                Some(problem) => {
                    set_apart.push(Apart {
                        tag: ewe.tag.clone(),
                        why: problem.message.clone(),
                        needs: "the right date; until then a place and feed".to_owned(),
                        row: ewe.row,
                    });
                    problems.push(problem);
                }
                None => drafted.push((ewe, litter, filled, due)),
            },
        }
    }
    let days = period(settings, drafted.iter().map(|(.., due)| *due).min());
    let planned: Vec<PlannedEwe> = drafted
        .into_iter()
        .map(|(ewe, litter, filled, due)| planned(ewe, litter, filled, due, &days, settings))
        .collect();
    finish(planned, pens, days, set_apart, problems, settings)
}

impl Plan {
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
        plan
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
            (ewe, _) => problems.push(cannot_keep(&keep.tag, &keep.pen, ewe.is_some(), pen.is_some())),
        }
    }
    let mean_intake: Vec<KgDmPerDay> = (0..days.len())
        .map(|day| {
            let sum: KgDmPerDay = ewes.iter().map(|ewe| ewe.needs[day].intake).sum();
            sum * (1.0 / (ewes.len().max(1) as f64))
        })
        .collect();
    let instance = instance(&ewes, &pens, &mean_intake, settings);
    problems.extend(watch_list(&ewes, settings));
    Plan { settings: settings.clone(), days, ewes, pens, mean_intake, instance, set_apart, problems }
}

/// The days of the feeding period: to the first lambing where nobody says, at most three weeks.
fn period(settings: &Settings, first_lambing: Option<Day>) -> Vec<Day> {
    let usual = first_lambing
        .map_or(1, |first| first.since(settings.on).clamp(1, Settings::USUAL_DAYS as i32) as u32);
    let count = settings.period_days.unwrap_or(usual).clamp(1, Settings::MOST_DAYS);
    (0..count as i32).map(|day| settings.on.plus(day)).collect()
}

fn planned(
    ewe: Ewe,
    litter: Litter,
    filled: Filled,
    due: Day,
    days: &[Day],
    settings: &Settings,
) -> PlannedEwe {
    let target = condition::target(settings.system as usize);
    let on = days[0];
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
    planned.needs = days
        .iter()
        .map(|&day| {
            let state = planned.state(day, diet);
            let requirement::Need { me, mp, .. } = Afrc1993.need(&state);
            DayNeed {
                me: me + correction.on(state.days_to_lambing),
                mp,
                intake: intake::capacity(state.weight, state.litter, state.days_to_lambing),
            }
        })
        .collect();
    planned.band = band(&planned, on, diet);
    planned
}

fn instance(ewes: &[PlannedEwe], pens: &[Pen], mean_intake: &[KgDmPerDay], settings: &Settings) -> Instance {
    let lambs_apart = |ewe: &PlannedEwe| settings.ewe_lambs_apart && ewe.filled.age == AgeClass::EweLamb;
    let any_other = ewes.iter().any(|ewe| !lambs_apart(ewe));
    let kind: Vec<u8> = ewes.iter().map(|ewe| u8::from(any_other && lambs_apart(ewe))).collect();
    // A pen in which somebody is kept by hand is closed to the other kind.
    let mut kept_kind = vec![None; pens.len()];
    for (ewe, &kind) in ewes.iter().zip(&kind) {
        if let Some(pen) = ewe.kept {
            kept_kind[pen] = Some(kind);
        }
    }
    let allowed = ewes
        .iter()
        .zip(&kind)
        .map(|(ewe, &kind)| match ewe.kept {
            Some(pen) => 1 << pen,
            None => pens
                .iter()
                .zip(&kept_kind)
                .enumerate()
                .take(Instance::MOST_BINS)
                .filter(|(_, (pen, kept))| pen.takes(ewe.filled.age) && kept.is_none_or(|kept| kept == kind))
                .fold(0, |mask, (pen, _)| mask | 1 << pen),
        })
        .collect();
    let [low, high] = Settings::LEVEL_LIMITS;
    Instance {
        days: mean_intake.len(),
        need: ewes.iter().flat_map(|ewe| ewe.needs.iter().map(|need| need.density().value())).collect(),
        day_weight: mean_intake.iter().map(|intake| intake.value()).collect(),
        under: settings.under,
        over: settings.over,
        low,
        high,
        room: (0..space::TYPES).map(|kind| ewes.iter().map(|ewe| ewe.room[kind]).collect()).collect(),
        bins: pens
            .iter()
            .take(Instance::MOST_BINS)
            .map(|pen| space::bin(pen, settings.min_head.max(1)))
            .collect(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed,
    }
}

/// What a ewe without lambs takes: used for those set apart.
fn place_words(filled: &Filled, shorn: bool, settings: &Settings) -> String {
    let [trough, area] =
        space::room(filled.weight, shorn, settings.system, settings.horned_trough_percent)[0];
    format!("{:.2} m of trough and {:.1} m²", f64::from(trough) / 1000.0, f64::from(area) / 1000.0)
}

fn need_words(weight: Kg, lambs: u8, days_to_lambing: u32, settings: &Settings) -> Option<String> {
    let state = State::housed(weight, Litter::of(lambs)?, days_to_lambing, diet(settings));
    let need = Afrc1993.need(&state);
    Some(format!("{:.1} MJ ME and {:.0} g MP a day", need.me.value(), need.mp.value()))
}

fn barren(ewe: &Ewe, filled: &Filled, settings: &Settings) -> Apart {
    let feed = need_words(filled.weight, 0, 0, settings).unwrap_or_default();
    Apart {
        tag: ewe.tag.clone(),
        why: "scanned barren".to_owned(),
        needs: format!(
            "a place ({}) away from the in-lamb ewes, and feed for maintenance: {feed}",
            place_words(filled, ewe.shorn, settings)
        ),
        row: ewe.row,
    }
}

fn unscanned(ewe: &Ewe, filled: &Filled, settings: &Settings) -> Apart {
    let days = filled.due.map_or(0, |due| due.since(settings.on).clamp(0, TERM_DAYS as i32) as u32);
    let feed = need_words(filled.weight, 2, days, settings).unwrap_or_default();
    Apart {
        tag: ewe.tag.clone(),
        why: "no scan result: scan her".to_owned(),
        needs: format!(
            "a place ({}); until she is scanned feed her as if for twins: {feed}",
            place_words(filled, ewe.shorn, settings)
        ),
        row: ewe.row,
    }
}

fn no_dates(ewe: &Ewe) -> Problem {
    Problem::cell(
        Severity::Error,
        "no-due-date",
        ("flock", ewe.row, "due"),
        "",
        "No ewe of this flock has a due date or a group, so nothing stands in for hers.",
        "Give a due date, or a group with the groups file.",
    )
    .about(&ewe.tag)
}

/// A due date that cannot be right on the day of the sort.
fn wrong_date(ewe: &Ewe, due: Day, on: Day) -> Option<Problem> {
    let days = due.since(on);
    let (code, message, hint) = if days > TERM_DAYS as i32 {
        (
            "due-too-far",
            format!(
                "Due {} lies {days} days after {}, longer than a pregnancy.",
                due.in_words(),
                on.in_words()
            ),
            "Correct the year or the month, or sort on a later day.",
        )
    } else if days < -MOST_OVERDUE {
        (
            "due-past",
            format!("Due {} lies {} days before {}.", due.in_words(), -days, on.in_words()),
            "Correct the date; if she has lambed, take her off the list.",
        )
    } else {
        return None;
    };
    let place = ("flock", ewe.row, "due");
    Some(Problem::cell(Severity::Error, code, place, &due.to_string(), message, hint).about(&ewe.tag))
}

fn cannot_keep(tag: &str, pen: &str, ewe_known: bool, pen_known: bool) -> Problem {
    let message = match (ewe_known, pen_known) {
        (false, _) => format!("{tag} is not among the sorted ewes, so she cannot be kept in pen {pen}."),
        (_, false) => format!("There is no pen {pen} to keep {tag} in."),
        _ => format!("Pen {pen} does not take ewes of {tag}'s age."),
    };
    Problem::new(
        Severity::Warning,
        "cannot-keep",
        format!("ewe {tag}"),
        message,
        "She was sorted like the others.",
    )
    .about(tag)
}

/// Ewes to keep an eye on: fat with two or more lambs (SAC TN658, 2013), and overdue.
fn watch_list(ewes: &[PlannedEwe], settings: &Settings) -> Vec<Problem> {
    let mut problems = Vec::new();
    for ewe in ewes {
        if ewe.correction.kind == condition::Kind::Watch {
            problems.push(
                Problem::new(
                    Severity::Note,
                    "watch-fat-multiple",
                    format!("ewe {}", ewe.ewe.tag),
                    format!("Condition {} and carrying {}.", ewe.filled.condition, ewe.litter.in_words()),
                    "Watch her appetite for pregnancy toxaemia; do not cut her feed. Ask your vet.",
                )
                .about(&ewe.ewe.tag),
            );
        }
        if ewe.due < settings.on {
            problems.push(
                Problem::new(
                    Severity::Warning,
                    "overdue",
                    format!("ewe {}", ewe.ewe.tag),
                    format!("Due {}, before the day of the sort.", ewe.due.in_words()),
                    "Check her date; she is fed as on her last day.",
                )
                .about(&ewe.ewe.tag),
            );
        }
        let asks: Vec<&str> =
            ewe.filled.assumed.iter().filter(|what| what.needs_a_look()).map(|what| what.ask()).collect();
        if !asks.is_empty() {
            let notes: Vec<&str> = ewe
                .filled
                .assumed
                .iter()
                .filter(|what| what.needs_a_look())
                .map(|what| Assumed::note(*what))
                .collect();
            let mut hint = asks.join(", ");
            if let Some(first) = hint.get_mut(0..1) {
                first.make_ascii_uppercase();
            }
            problems.push(
                Problem {
                    file: Some("flock".to_owned()),
                    row: Some(ewe.ewe.row),
                    ..Problem::new(
                        Severity::Warning,
                        "assumed",
                        format!("ewe {}", ewe.ewe.tag),
                        format!("Taken from elsewhere: {}.", notes.join("; ")),
                        format!("{hint}."),
                    )
                }
                .about(&ewe.ewe.tag),
            );
        }
    }
    problems
}

/// Settings that cannot be meant.
fn setting_problems(settings: &Settings) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut wrong = |name: &str, found: f64, right: &str| {
        problems.push(Problem {
            found: Some(found.to_string()),
            ..Problem::new(
                Severity::Error,
                "setting",
                format!("setting {name}"),
                format!("{found} is not possible."),
                format!("Give {right}."),
            )
        });
    };
    let [least_diet, most_diet] = State::DIET_MJ;
    if !(settings.under.is_finite() && settings.under > 0.0 && settings.under <= 1e6) {
        wrong("under", settings.under, "a weight above 0");
    }
    if !(settings.over.is_finite() && settings.over > 0.0 && settings.over <= 1e6) {
        wrong("over", settings.over, "a weight above 0");
    }
    if !(least_diet..=most_diet).contains(&settings.diet_me_mj_per_kg_dm) {
        wrong("diet", settings.diet_me_mj_per_kg_dm, "5 to 14 MJ ME a kg DM");
    }
    if !(0.0..=200.0).contains(&settings.horned_trough_percent) {
        wrong("horned", settings.horned_trough_percent, "0 to 200 percent");
    }
    if let Some(days) = settings.period_days
        && days > Settings::MOST_DAYS
    {
        wrong("period-days", f64::from(days), "at most 147 days, a pregnancy");
    }
    problems
}
