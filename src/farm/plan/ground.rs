//! What a plan is filled from: the pens' weeks, and a ration for each.

use crate::farm::plan::aside::Aside;
use crate::farm::plan::counted::{self, Told};
use crate::farm::plan::happened::{Seen, seen};
use crate::farm::plan::question::PlanQuestion;
use crate::farm::ration::question::maintenance;
use crate::feed::Stocked;
use crate::flock::Litter;
use crate::io::Loaded;
use crate::pen::Feeding;
use crate::quantity::{Kg, MgPerKgDm};
use crate::ration::season::{Fed, Season, Spell, Wish, season};
use crate::ration::{Asked, COPPER, Eater, Held, Way};
use crate::sort::weeks::{DAYS, PenWeek, on_days, weeks};
use crate::sort::{Plan, space};

/// The pens' weeks and their rations.
pub(super) struct Ground<'f> {
    pub(super) plan: &'f Plan,
    pub(super) feeds: &'f [Stocked],
    /// What was loaded of each feed between the count of its store and the plan's first day, kg.
    pub(super) since: &'f [f64],
    /// What was loaded on the plan's own days.
    pub(super) told: Told,
    pub(super) question: &'f PlanQuestion,
    pub(super) way: Way,
    pub(super) wish: Wish,
    /// Lines of ewes in no pen, who stand behind the pens.
    pub(super) asides: Vec<Aside>,
    /// By pen, in file order, empty for an empty pen; then by line of those in none.
    pub(super) weeks: Vec<Vec<PenWeek>>,
    /// In the order of the weeks.
    pub(super) spells: Vec<Spell>,
    pub(super) season: Season,
    /// What was loaded and left, by pen.
    pub(super) seen: Vec<Seen>,
}

impl<'f> Ground<'f> {
    /// Finds the rations; nothing where nobody is to be fed.
    pub(super) fn new(
        plan: &'f Plan,
        (assignment, asides): (&[usize], Vec<Aside>),
        (feeds, since): (&'f [Stocked], &'f [f64]),
        (way, wish): (Way, Wish),
        question: &'f PlanQuestion,
        loads: &[Loaded],
    ) -> Option<Self> {
        let mut weeks = weeks(plan, assignment);
        for aside in &asides {
            // The barren stand behind all others, and are fed as long as these.
            let ends = weeks.iter().filter_map(|own| {
                let (last, before) = own.split_last()?;
                Some(before.len() * DAYS + last.head.len())
            });
            let days = ends.max().unwrap_or(0);
            weeks.push(aside.weeks(plan, days));
        }
        let most = weeks.iter().map(Vec::len).max().filter(|most| *most > 0)?;
        let pens = plan.pens.len();
        let seen = seen(loads, feeds, |pen, days| {
            let week = on_days(plan, assignment, pen, days)?;
            Some((asked(plan, &week, feeds, way, question, false), f64::from(week.ewe_days())))
        });
        let mut spells = Vec::new();
        for week in 0..most {
            for (pen, own) in weeks.iter().enumerate() {
                if let Some(own) = own.get(week) {
                    let mut asked = match pen.checked_sub(pens).and_then(|aside| asides.get(aside)) {
                        Some(aside) => aside.asked(own, feeds, way, question, week == 0),
                        None => asked(plan, own, feeds, way, question, week == 0),
                    };
                    // What was seen counts for the weeks that begin after it.
                    let after =
                        |seen: &&Seen| seen.pen == pen && seen.last().is_some_and(|last| own.first > last);
                    asked.held.appetite = seen.iter().find(after).map(|seen| seen.factor);
                    spells.push(Spell { pen, week, asked, ewe_days: f64::from(own.ewe_days()) });
                }
            }
        }
        let season = season(&spells, wish);
        let told = Told::of(loads, plan.settings.on);
        let mut ground =
            Self { plan, feeds, since, told, question, way, wish, asides, weeks, spells, season, seen };
        // What was told of the plan's own days is gone from the stores, whatever was planned.
        if let Some(over) = counted::over(&ground) {
            for stocked in ground.spells.iter_mut().map(|spell| &mut spell.asked.feeds) {
                for (stocked, over) in stocked.iter_mut().zip(&over) {
                    stocked.stock = stocked.stock.map(|stock| Kg::new((stock.value() - over).max(0.0)));
                }
            }
            ground.season = crate::ration::season::season(&ground.spells, wish);
        }
        Some(ground)
    }

    /// A pen's name; behind the pens that of a line.
    pub(super) fn name(&self, pen: usize) -> &str {
        match self.aside(pen) {
            Some(aside) => aside.name(),
            None => self.plan.pens.get(pen).map_or("", |pen| pen.name.as_str()),
        }
    }

    /// The line of ewes in no pen; nothing of a pen.
    pub(super) fn aside(&self, pen: usize) -> Option<&Aside> {
        self.asides.get(pen.checked_sub(self.plan.pens.len())?)
    }

    /// Mean live weight of those fed in a week.
    pub(super) fn weight(&self, pen: usize, week: &PenWeek) -> Kg {
        match self.aside(pen) {
            Some(aside) => aside.weight(week),
            None => mean_weight(self.plan, week),
        }
    }

    /// A pen's week and its ration.
    pub(super) fn week(&self, spell: &Spell) -> Option<&PenWeek> {
        self.weeks.get(spell.pen)?.get(spell.week)
    }

    /// Every spell with its ration, in the order of the weeks.
    pub(super) fn all(&self) -> impl Iterator<Item = (&Spell, &Fed)> {
        self.spells.iter().zip(&self.season.fed)
    }

    /// Whether all must eat at once: concentrate fed apart somewhere in the plan.
    pub(super) fn all_at_once(&self, pen: usize) -> bool {
        let own = self.all().filter(|(spell, _)| spell.pen == pen);
        let mut apart = own.filter(|(spell, _)| !spell.asked.way.is_mixed());
        apart.any(|(_, fed)| fed.ration().is_some_and(|ration| ration.concentrate() > 0.0))
    }

    /// Trough that a pen's ewes need for this way of feeding, and what there is, m.
    pub(super) fn trough(&self, pen: usize) -> [f64; 2] {
        let Some((record, first)) =
            self.plan.pens.get(pen).zip(self.weeks.get(pen).and_then(|weeks| weeks.first()))
        else {
            return [0.0; 2];
        };
        let feeding = if self.all_at_once(pen) { Feeding::Restricted } else { Feeding::Always };
        let rooms = first.ewes.iter().filter_map(|fed| self.plan.ewes.get(fed.ewe)).map(|ewe| &ewe.room);
        [space::trough_needed(record, feeding, rooms), space::trough_m(record)]
    }
}

/// Mean live weight of a pen's week.
pub(super) fn mean_weight(plan: &Plan, week: &PenWeek) -> Kg {
    let (mut kg, mut days) = (0.0, 0.0);
    for fed in &week.ewes {
        if let Some(ewe) = plan.ewes.get(fed.ewe) {
            kg += f64::from(fed.days) * ewe.filled.weight.value();
            days += f64::from(fed.days);
        }
    }
    Kg::new(kg / f64::max(days, 1.0))
}

pub(super) fn asked(
    plan: &Plan,
    week: &PenWeek,
    feeds: &[Stocked],
    way: Way,
    question: &PlanQuestion,
    is_first: bool,
) -> Asked {
    let weight = mean_weight(plan, week);
    let of = week.ewes.iter().filter_map(|fed| Some((fed, plan.ewes.get(fed.ewe)?)));
    let eaters = of.clone().map(|(fed, ewe)| Eater {
        weight: ewe.filled.weight,
        litter: ewe.litter,
        weeks: fed.weeks_to_lambing,
        days: f64::from(fed.days),
    });
    // What may hurt is said for her who carries most.
    let litter = of.map(|(_, ewe)| ewe.litter).max_by_key(|litter| litter.lambs()).unwrap_or(Litter::BARREN);
    Asked {
        me: week.me(),
        mp: week.mp(),
        maintenance: maintenance(weight),
        weight,
        litter,
        weeks: week.middle_weeks(),
        way,
        feeds: feeds.to_vec(),
        is_restricted: false,
        most_feeds: question.most_feeds,
        most_straights: question.most_straights as usize,
        last_week: question.last_week_kg.filter(|_| is_first).map(Kg::new),
        pen: None,
        copper_most: MgPerKgDm::new(question.copper_most_mg_per_kg_dm.unwrap_or(COPPER)),
        protein_weeks: question.protein_weeks,
        mix_for: None,
        held: Held { eaters: eaters.collect(), ..Held::default() },
    }
}
