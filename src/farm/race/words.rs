//! Whom she joins, what the next best pen would mean, and what all of it stands on.

use crate::farm::race::drafting::Drafting;
use crate::farm::race::ground::{Ground, NumberFrom};
use crate::flock::{AgeClass, Ewe, Litter, Score};
use crate::sort::draft::{Answer, Draft, PenAnswer, RunnerUp, Source};
use crate::sort::shortfall::count_words;

/// Misfits nearer than this, weighted MJ, are as good as equal (common practice, no source).
const ALIKE_MJ: f64 = 0.05;
/// From so many in a pen it is said whom she joins, where two in three of them carry alike (our choice, no
/// source).
const ENOUGH: usize = 5;
/// Scores that a ewe may be thought to have, and how often (spread 0.40 within flocks, derived from Pollott &
/// Kilkenny 1976; year from memory).
const SCORES: [(f64, f64); 5] = [(2.0, 0.04), (2.5, 0.24), (3.0, 0.44), (3.5, 0.24), (4.0, 0.04)];
/// Of all in-lamb ewes so many carry one, two, three (lowland, 1.9 lambs a ewe; see `sort::draft::prior`).
const LITTERS: [f64; 3] = [0.28, 0.54, 0.18];

/// Whom each pen is meant for, as long as hardly anybody stands in it: the litter size of which the draft would
/// send more there than of others, of those that make a quarter of the pen.
pub(super) fn meant(ground: &Ground, draft: &Draft) -> Vec<Option<&'static str>> {
    let mut sums = vec![[0.0_f64; 3]; ground.pens.len()];
    for ((lambs, share), at) in (1_u8..).zip(LITTERS).zip(0..) {
        for (score, often) in SCORES {
            let ewe = Ewe {
                litter: Litter::of(lambs),
                condition: Score::of(score),
                age: Some(AgeClass::Mature),
                ..Ewe::unknown(String::new())
            };
            if let Answer::Pen(best) = draft.answer(&ground.filled(ewe))
                && let Some(sum) = sums.get_mut(best.pen).and_then(|pen| pen.get_mut(at))
            {
                *sum += share * often;
            }
        }
    }
    let word = |pen: &[f64; 3]| {
        let all: f64 = pen.iter().sum();
        let here = pen.iter().zip(LITTERS).zip(["singles", "twins", "triplets"]);
        here.filter(|((sum, _), _)| **sum > 0.0 && 4.0 * **sum >= all)
            .max_by(|((one, of_one), _), ((other, of_other), _)| {
                (*one / of_one).total_cmp(&(*other / of_other))
            })
            .map(|(_, word)| word)
    };
    sums.iter().map(word).collect()
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
    let most = there.iter().zip(["singles", "twins", "triplets"]).find(|(count, _)| **count * 3 >= all * 2);
    match (most, drafting.meant.get(best.pen).copied().flatten()) {
        (Some((_, word)), _) if all >= ENOUGH => format!("with the {word}"),
        (_, Some(word)) if all < ENOUGH => format!("with the {word}"),
        _ => drafting.draft.levels(best.pen).first().filter(|level| **level > 0.0).map_or_else(
            || "where there is room".to_owned(),
            |level| format!("with those fed about {level:.1} MJ a kg DM"),
        ),
    }
}

/// ", 12.4 MJ more misfit for her over the period": what the next best would mean.
pub(super) fn instead(best: &PenAnswer, next: RunnerUp) -> String {
    let more = next.loss_mj - best.loss_mj;
    let risky = if next.risky { ", and somebody later may find no place" } else { "" };
    if more > ALIKE_MJ {
        format!(", {more:.1} MJ more misfit for her over the period{risky}")
    } else if more < -ALIKE_MJ {
        let because =
            if next.risky { "somebody later may find no place" } else { "others need its room more" };
        format!(": better for her by {:.1} MJ over the period, but {because}", -more)
    } else {
        format!(", as good for her{risky}")
    }
}

/// What the pens told stand on.
pub(super) fn stands_on(ground: &Ground, draft: &Draft) -> String {
    let ewes = count_words(ground.expected, "ewe");
    let number = match ground.from {
        NumberFrom::Told => format!("{ewes} in lamb expected, as you said"),
        NumberFrom::List => format!("{ewes} in lamb expected, as many as are on record"),
        NumberFrom::Pens => format!("{ewes} in lamb guessed, nine tenths of what the pens hold"),
    };
    let lambs = match ground.ewe_lambs {
        0 => "none of them a ewe lamb".to_owned(),
        count => format!("{} among them", count_words(count, "ewe lamb")),
    };
    let came = draft.placed().len();
    let passed = if came > ground.expected {
        " More have come than that: say how many will come, so that room is kept for them."
    } else {
        ""
    };
    let known = match draft.source() {
        Source::Print => {
            "nothing of the flock was on record: published figures stand in until enough have passed"
        }
        Source::LastYear => {
            "the list is of an earlier year: they are believed to be like it until enough have passed"
        }
        Source::Records => "what is on record of each is used; condition is learnt as they pass",
    };
    format!("{number}; {lambs}; {known}.{passed}")
}
