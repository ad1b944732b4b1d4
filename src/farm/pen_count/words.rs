//! The words on numbers of pens.

use crate::farm::CAUTION;
use crate::farm::pen_count::document::{Buys, Figures, Point, Prices};
use crate::farm::report::MANY_HEAD;
use crate::sort::pen_count::{Count, Outcome, ROOM_OVER};
use crate::sort::reason::capital;
use crate::sort::shortfall::count_words;
use crate::sort::space;

/// A number of pens in a line.
pub(super) fn point(point: &Point, count: &Count, is_built: bool) -> String {
    let pens = count_words(point.pens as usize, "pen");
    let Some(figures) = point.figures else {
        let why = match &count.outcome {
            Outcome::Not { words, proved: true } => format!("do not hold the flock: {words}"),
            Outcome::Not { words, proved: false } => {
                format!("no sort was found (none is proved impossible): {words}")
            }
            Outcome::Sorted(_) => String::new(),
        };
        let why = if point.pens == 1 { why.replacen("do not hold", "does not hold", 1) } else { why };
        return format!("{pens}: {why}.");
    };
    let used = point.used.len();
    if used < point.pens as usize {
        return if is_built {
            let left = match point.pens as usize - used {
                1 => "leave one empty".to_owned(),
                more => format!("leave {more} empty"),
            };
            format!("{pens}: no better than {used} ({}): {left}.", point.used.join(", "))
        } else {
            format!("{pens}: smaller ones would suit the flock no better: build {used}.")
        };
    }
    let which = if is_built { format!(" ({})", point.used.join(", ")) } else { sized(point) };
    let bought = point.buys.map(|buys| bought(&buys)).unwrap_or_default();
    format!("{pens}{which}: {}{bought}.", fed(figures))
}

fn sized(point: &Point) -> String {
    point.size.map_or_else(String::new, |size| {
        format!(
            " of {:.2} m of trough and {:.1} m² (about {} each)",
            size.trough_m,
            size.area_m2,
            count_words(size.head as usize, "ewe")
        )
    })
}

fn fed(figures: Figures) -> String {
    let sure = match figures.gap_percent {
        _ if figures.is_proved_best => "; there is no better sort".to_owned(),
        // Rounded up, so that "at most" stays true.
        Some(gap) => format!(", at most {:.1} % from the best possible", libm::ceil(gap * 10.0) / 10.0),
        None => String::new(),
    };
    let short = match figures.ewes_short {
        0 => "no ewe".to_owned(),
        short => count_words(short as usize, "ewe"),
    };
    let many = if figures.most_head as usize > MANY_HEAD {
        format!("; {} in the fullest pen", count_words(figures.most_head as usize, "ewe"))
    } else {
        String::new()
    };
    format!(
        "misfit {:.0} MJ{sure}; {:.0} MJ a day fed below need and {:.0} above; {short} more than a tenth \
         short{many}",
        figures.objective_mj, figures.under_mj_per_day, figures.over_mj_per_day
    )
}

/// What one pen more buys, after a full stop.
fn bought(buys: &Buys) -> String {
    let mut parts = vec![format!("takes off {:.0} MJ", buys.objective_mj)];
    match buys.ewes_no_longer_short {
        0 => {}
        fewer if fewer > 0 => {
            parts.push(format!("leaves {} fewer short", count_words(fewer as usize, "ewe")))
        }
        more => parts.push(format!("leaves {} more short", count_words(more.unsigned_abs() as usize, "ewe"))),
    }
    parts.push(match buys.fed_mj {
        saved if saved >= 0.5 => format!("saves {saved:.0} MJ of feed"),
        saved if saved <= -0.5 => format!("feeds {:.0} MJ more", -saved),
        _ => "feeds as much".to_owned(),
    });
    if let Some(worth) = buys.worth {
        let pays = match buys.pays {
            Some(true) => ", more than a pen costs",
            Some(false) => ", no more than a pen costs",
            None => "",
        };
        parts.push(format!("is worth {worth:.2}{pays}"));
    }
    format!(". The last of them {}", list(&parts))
}

/// "a, b and c".
fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What the flock and the pens come to.
pub(super) fn headline(ewes: usize, points: &[Point], enough: Option<u32>, is_built: bool) -> String {
    let sorted = || points.iter().filter(|point| point.figures.is_some());
    let (Some(first), Some(last)) = (sorted().next(), sorted().next_back()) else {
        return format!("{}: no number of pens holds them.", count_words(ewes, "ewe"));
    };
    let ewes = count_words(ewes, "ewe");
    if first.pens == last.pens {
        return format!("{ewes}: only {} will do.", count_words(first.pens as usize, "pen"));
    }
    let holds = if is_built {
        format!("from {} on everybody has a place", first.pens)
    } else {
        format!("from {} to {} equal pens", first.pens, last.pens)
    };
    let misfit = |point: &Point| point.figures.map_or(0.0, |figures| figures.objective_mj);
    let enough = enough
        .map_or_else(String::new, |enough| format!("; {enough} take nine tenths of what {} take", last.pens));
    format!("{ewes}: {holds}; misfit falls from {:.0} to {:.0} MJ{enough}.", misfit(first), misfit(last))
}

/// What to do.
pub(super) fn advice(
    points: &[Point],
    enough: Option<u32>,
    best: Option<u32>,
    (short_in_any_pen, is_built): (u32, bool),
) -> String {
    let Some(chosen) = points.iter().find(|point| Some(point.pens) == best.or(enough)) else {
        return String::new();
    };
    let pens = count_words(chosen.pens as usize, "pen");
    let alone = points.iter().filter(|point| point.figures.is_some()).count() == 1;
    let which = if is_built { format!(" ({})", chosen.used.join(", ")) } else { sized(chosen) };
    let mut words = if alone {
        format!("No other number of those looked at holds the flock, so it must be {pens}{which}.")
    } else if best.is_some() {
        format!("Misfit in money and the pens' own cost are least together with {pens}{which}.")
    } else {
        let pens = capital(&pens);
        format!("{pens}{which} would do most of what more can; whether one more pays is for you to say.")
    };
    if let Some(next) = points.iter().find(|point| point.pens == chosen.pens + 1) {
        match next.buys {
            Some(buys) if buys.objective_mj > 0.0 => {
                words.push_str(&bought(&buys).replacen(". The last of them", " One more", 1));
                words.push('.');
            }
            Some(_) => words.push_str(" One more buys nothing."),
            None => {}
        }
    }
    if short_in_any_pen > 0 {
        let (need, them) = if short_in_any_pen == 1 { ("needs", "her") } else { ("need", "them") };
        words.push_str(&format!(
            " {} {need} more than the richest ration may hold, so no number of pens helps {them}: ask your vet or \
             feed adviser.",
            count_words(short_in_any_pen as usize, "ewe")
        ));
    }
    words
}

/// What the figures stand on.
pub(super) fn basis(prices: Prices, is_built: bool) -> String {
    let mut words = "Misfit is in MJ over the period, a MJ below need counted more than one above it as set; the \
                     dry matter fed is the same for every number, since ewes are taken to eat to their capacity. \
                     Needs are one smooth spread without natural groups, so no number of pens is right of itself: \
                     each is worth what it buys. "
        .to_owned();
    if is_built {
        words.push_str(
            "Which pens is searched for; the distance from the best possible holds for any so many of these pens.",
        );
    } else {
        words.push_str(&format!(
            "Pens are equal, on straw, fed in one go, with {:.0} % more room than the flock takes in all: {}. The \
             distance from the best possible holds for pens of that size.",
            100.0 * ROOM_OVER,
            space::SOURCE
        ));
    }
    if let Some(price) = prices.feed_price_per_t_dm {
        words.push_str(&format!(
            " Worth: a weighted MJ as a MJ of feed at {price:.2} a tonne of dry matter of {:.1} MJ a kg; what \
             underfeeding costs in lambs and ewes is not in it.",
            prices.feed_me_mj_per_kg_dm
        ));
    }
    if let Some(cost) = prices.pen_cost {
        words.push_str(&format!(" A pen costs {cost:.2} over these days, as set."));
    }
    words
}

/// The caution that goes with every figure.
pub(super) fn caution(is_built: bool) -> String {
    let build = "Before you build, have sizes, ventilation, water and handling checked by your adviser: only trough \
                 and floor are reckoned here.";
    if is_built { CAUTION.to_owned() } else { format!("{CAUTION} {build}") }
}
