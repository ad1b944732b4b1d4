//! Weeks whose level is not met: by how much it counts, what stops it, and what would help.

use crate::farm::plan::ground::Ground;
use crate::farm::ration::document::WayOutEntry;
use crate::farm::ration::{fill, words::MET};
use crate::feed::Feed;
use crate::ration::season::{Fed, Spell};
use crate::ration::{Asked, Key, Outcome, Ration, Trouble, bucket_step, stops, ways_out};

/// Limits named beside a week that is not its pen's worst (chosen here).
const STOPS: usize = 2;

/// What one step of the bucket brings a ewe, MJ and g; nothing where amounts are to the last gram.
pub(super) fn step(ground: &Ground<'_>, ration: &Ration) -> [f64; 2] {
    bucket_step(ration).filter(|_| ground.wish.to_weigh).unwrap_or_default()
}

/// `met`, `near` where less is missing than one step of the bucket brings, or `short`.
pub(super) fn status(ground: &Ground<'_>, asked: &Asked, ration: &Ration) -> &'static str {
    let missed = missed(asked, ration);
    let is_within = |most: [f64; 2]| missed.iter().zip(most).all(|(missed, most)| *missed <= most);
    let step = step(ground, ration);
    if is_within(MET) {
        "met"
    } else if is_within([step[0].max(MET[0]), step[1].max(MET[1])]) {
        "near"
    } else {
        "short"
    }
}

/// Energy and, where it is asked for, protein that is missing, MJ and g a ewe a day.
fn missed(asked: &Asked, ration: &Ration) -> [f64; 2] {
    let asks_protein = asked.weeks <= asked.protein_weeks;
    [ration.missed(Key::Me), if asks_protein { mp_short(ration) } else { 0.0 }]
}

pub(super) fn mp_short(ration: &Ration) -> f64 {
    ration.missed(Key::MpEnergy).max(ration.missed(Key::MpNitrogen))
}

/// How far a week is from what it asks, as the ration charges it; without any ration above all.
pub(super) fn trouble(ground: &Ground<'_>, fed: &Fed, spell: &Spell) -> f64 {
    match fed.ration() {
        None => f64::INFINITY,
        Some(ration) if status(ground, &spell.asked, ration) == "short" => {
            ration.charged.max(f64::MIN_POSITIVE)
        }
        Some(_) => 0.0,
    }
}

/// Whether it is what a ewe can eat that stops the level from being met, above any other limit.
pub(super) fn is_by_appetite(asked: &Asked, ration: &Ration) -> bool {
    let is_missed = missed(asked, ration).iter().zip(MET).any(|(missed, met)| *missed > met);
    is_missed
        && !fill::is_by_steps(ration)
        && stops(ration).first().is_some_and(|(key, _)| matches!(key, Key::Appetite | Key::DryMatter))
}

/// What stops a week and, where they are looked for, the ways out.
pub(super) fn mend(fed: &Fed, table: &[Feed], is_worst: bool) -> (Vec<String>, Vec<WayOutEntry>) {
    let (stopped, trouble) = match &fed.outcome {
        Outcome::Fed(ration) => (fill::stopped_by(ration, &ration.standings()), Trouble::Short(ration)),
        Outcome::Impossible { limits, feeds } => {
            let is_stored = |name: &&String| {
                let own = fed.asked.feeds.iter().find(|stocked| stocked.feed.name == **name);
                own.is_some_and(|stocked| stocked.stock.is_some())
            };
            let feeds = feeds.iter().filter(is_stored).map(|feed| format!("what is left of {feed}"));
            (limits.iter().cloned().chain(feeds).collect(), Trouble::Impossible)
        }
        Outcome::NoFeed => {
            (vec!["no forage is left for this way of feeding".to_owned()], Trouble::Impossible)
        }
        Outcome::Failed(_) => return (Vec::new(), Vec::new()),
    };
    if !is_worst {
        let worst: Vec<String> = stopped.into_iter().take(STOPS).collect();
        return (worst, Vec::new());
    }
    let (ways, _) = ways_out(&fed.asked, table, trouble);
    (stopped, fill::ways(&fed.asked, ways))
}
