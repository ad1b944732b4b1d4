//! Whom she joins, what the next best pen would mean, and what all of it stands on.

use crate::farm::race::drafting::Drafting;
use crate::farm::race::ground::{Ground, NumberFrom};
use crate::flock::{AgeClass, Due, Ewe, Litter, Score};
use crate::sort::draft::{Answer, Draft, PenAnswer, RunnerUp, Source};
use crate::sort::shortfall::count_words;

/// Misfits nearer than this, weighted MJ, are as good as equal (common practice, no source).
const ALIKE_MJ: f64 = 0.05;
/// From so many in a pen it is said whom she joins, where two in three of them carry alike (our choice, no
/// source).
const ENOUGH: usize = 5;
/// Where nothing of the flock is on record, ewes are thought of with these litters, scores and days after the first
/// lambing: lowland shares (see `sort::draft::prior`), a spread of 0.4 scores, and two cycles (the same).
const LITTERS: [(u8, usize); 3] = [(1, 3), (2, 5), (3, 2)];
const SCORES: [f64; 4] = [2.5, 3.0, 3.0, 3.5];
const DAYS: [i32; 3] = [3, 10, 22];
/// From so many ewes scanned on record on, those are asked about instead; at most so many of them.
const ENOUGH_ON_RECORD: usize = 30;
const MOST_ASKED: usize = 90;
const PLURALS: [&str; 3] = ["singles", "twins", "triplets"];

/// Whom each pen is meant for, as long as hardly anybody stands in it: the litter size of which the draft would
/// send more there than of others, of those that make a quarter of the pen.
pub(super) fn meant(ground: &Ground, draft: &Draft) -> Vec<Option<&'static str>> {
    let mut all = [0_usize; 3];
    let mut pens = vec![[0_usize; 3]; ground.pens.len()];
    for (ewe, times) in thought_of(ground) {
        let Some(lambs) = ewe.litter.map(|litter| usize::from(litter.lambs().clamp(1, 3)) - 1) else {
            continue;
        };
        let Answer::Pen(best) = draft.answer(&ground.filled(ewe)) else { continue };
        let here = pens.get_mut(best.pen).and_then(|pen| pen.get_mut(lambs));
        for sum in [here, all.get_mut(lambs)].into_iter().flatten() {
            *sum += times;
        }
    }
    let word = |pen: &[usize; 3]| {
        let members: usize = pen.iter().sum();
        let here =
            pen.iter().zip(all).zip(PLURALS).filter(|((here, _), _)| **here > 0 && 4 * **here >= members);
        // Shares are compared crosswise, in whole numbers.
        here.max_by_key(|((here, all), _)| (**here * 1_000_000).checked_div(*all)).map(|(_, word)| word)
    };
    pens.iter().map(word).collect()
}

/// Ewes as they may come, each with how many times: those on record, or invented ones.
fn thought_of(ground: &Ground) -> Vec<(Ewe, usize)> {
    let scanned = |ewe: &&Ewe| ewe.litter.is_some_and(|litter| litter.lambs() > 0);
    let known: Vec<&Ewe> = ground.list.iter().filter(scanned).collect();
    let nobody = |ewe: &Ewe| (Ewe { tag: String::new(), ..ewe.clone() }, 1);
    if known.len() >= ENOUGH_ON_RECORD {
        let step = known.len().div_ceil(MOST_ASKED);
        return known.into_iter().step_by(step).map(nobody).collect();
    }
    let mut ewes = Vec::new();
    for (lambs, times) in LITTERS {
        for (score, days) in SCORES.into_iter().flat_map(|score| DAYS.map(|days| (score, days))) {
            let ewe = Ewe {
                litter: Litter::of(lambs),
                condition: Score::of(score),
                age: Some(AgeClass::Mature),
                due: Due::On(ground.first_due.plus(days)),
                ..Ewe::unknown(String::new())
            };
            ewes.push((ewe, times));
        }
    }
    ewes
}

/// "with the triplets": those who stand there, or those whom the pen is meant for.
pub(super) fn company(ground: &Ground, drafting: &Drafting, best: &PenAnswer) -> String {
    if ground.sort.ewe_lambs_apart && best.ewe.filled.age == AgeClass::EweLamb {
        return "with the ewe lambs".to_owned();
    }
    let mut there = [0_usize; 3];
    for (ewe, _) in drafting.draft.placed().iter().filter(|(_, pen)| *pen == best.pen) {
        if let Some(count) = there.get_mut(usize::from(ewe.litter.lambs().clamp(1, 3)) - 1) {
            *count += 1;
        }
    }
    let all: usize = there.iter().sum();
    let most = there.iter().zip(PLURALS).find(|(count, _)| **count * 3 >= all * 2);
    match (most, drafting.meant.get(best.pen).copied().flatten()) {
        (Some((_, word)), _) if all >= ENOUGH => format!("with the {word}"),
        (_, Some(word)) if all < ENOUGH => format!("with the {word}"),
        _ => drafting.draft.levels(best.pen).first().filter(|level| **level > 0.0).map_or_else(
            || "where there is room".to_owned(),
            |level| format!("with those fed about {level:.1} MJ a kg DM"),
        ),
    }
}

/// ", 12.4 MJ worse for her": what the next best would mean over the period. Short, for it stands at the gate.
pub(super) fn instead(best: &PenAnswer, next: RunnerUp) -> String {
    let more = next.loss_mj - best.loss_mj;
    if next.risky {
        "; one may find no place later".to_owned()
    } else if more > ALIKE_MJ {
        format!(", {more:.1} MJ worse for her")
    } else if more < -ALIKE_MJ {
        ", better, but others need it".to_owned()
    } else {
        ", as good for her".to_owned()
    }
}

/// What the pens told stand on. Short, for it stands at the gate.
pub(super) fn stands_on(ground: &Ground, draft: &Draft) -> String {
    let ewes = count_words(ground.expected, "ewe");
    let number = match ground.from {
        NumberFrom::Told => format!("{ewes} in lamb expected, as you said"),
        NumberFrom::List => format!("{ewes} in lamb expected, as many as are on record"),
        NumberFrom::Prior => format!("{ewes} in lamb expected, as many as on the earlier year's list"),
        NumberFrom::LastSeason => format!("{ewes} in lamb expected, as many as were here in the last season"),
        NumberFrom::Pens => format!("{ewes} in lamb guessed, nine tenths of what the pens hold"),
    };
    let lambs = match ground.ewe_lambs {
        0 => "no ewe lambs".to_owned(),
        count => count_words(count, "ewe lamb"),
    };
    if draft.placed().len() > ground.expected {
        return format!(
            "{number}; {lambs}. More have come: say how many will, so that room is kept for them."
        );
    }
    let known = match draft.source() {
        Source::Print => "published figures stand in at first",
        Source::LastYear if !ground.prior_is_list => "believed to be like the last season at first",
        Source::LastYear => "believed to be like the list's earlier year at first",
        Source::Records => "condition is learnt as they pass",
    };
    format!("{number}; {lambs}; {known}.")
}
