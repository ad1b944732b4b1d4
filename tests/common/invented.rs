//! Invented flocks that are spread as real ones are, for figures that depend on the spread.
//!
//! Litter sizes by a latent normal with thresholds 1.5 and 3.5 above the first (fitted to published scanning
//! counts), condition with a spread of 0.37 within a class (derived from published repeatability), weight by
//! frame, age and condition, due dates by cycles of 17 days of which each holds four ewes in five.
#![allow(dead_code, missing_docs, unreachable_pub)]

use super::Dice;

/// What a flock is like.
#[derive(Debug, Clone, Copy)]
pub struct Like {
    pub ewes: usize,
    /// First threshold of the latent normal: -0.58 gives 1.9 lambs a ewe, -0.24 gives 1.7.
    pub first_threshold: f64,
    /// Mean condition: at 2.95 half of the flock is below the lowland target.
    pub condition: f64,
    /// Share of ewe lambs.
    pub ewe_lambs: f64,
    /// Whether ewes are known by mating group instead of a date.
    pub grouped: bool,
}

/// Sum of twelve: near enough to a normal for a flock.
pub fn normal(dice: &mut Dice) -> f64 {
    (0..12).map(|_| dice.between(0.0, 1.0)).sum::<f64>() - 6.0
}

/// The flock as CSV, in lamb and due from about 1 March 2027.
pub fn flock(dice: &mut Dice, like: Like) -> String {
    let mut text = String::from("tag,litter,condition,due,group,age,weight_kg\n");
    for number in 0..like.ewes {
        let chance = dice.between(0.0, 1.0);
        // Steady state with a quarter replaced: a quarter shearlings.
        let age = if chance < like.ewe_lambs {
            "ewe lamb"
        } else if dice.between(0.0, 1.0) < 0.25 {
            "shearling"
        } else {
            "mature"
        };
        let shift = match age {
            "ewe lamb" => 1.1,
            "shearling" => 0.45,
            _ => 0.0,
        };
        let first = like.first_threshold + shift;
        let latent = normal(dice);
        let litter = 1 + [0.0, 1.5, 3.5].iter().filter(|above| latent > first + **above).count();
        let class = match litter {
            1 => 0.1,
            2 => 0.0,
            _ => -0.1,
        } - if age == "mature" { 0.0 } else { 0.1 };
        let score = like.condition + class + 0.37 * normal(dice);
        let condition = ((score * 2.0).round() / 2.0).clamp(1.5, 4.5);
        let of_mature = match age {
            "ewe lamb" => 0.61,
            "shearling" => 0.84,
            _ => 1.0,
        };
        let weight = (77.0 * (1.0 + 0.085 * normal(dice)) * of_mature * (1.0 + 0.13 * (score - 3.0)))
            .clamp(38.0, 120.0);
        let mut cycle = 0_usize;
        while cycle < 2 && dice.between(0.0, 1.0) > 0.8 {
            cycle += 1;
        }
        let served = 17.0 * cycle as f64 + dice.between(0.0, 17.0);
        let due = (served + 2.2 * normal(dice)).round().max(0.0) as usize;
        let (month, day) = if due < 31 { (3, due + 1) } else { (4, (due - 30).min(30)) };
        let date = if like.grouped { String::new() } else { format!("2027-{month:02}-{day:02}") };
        let group = if like.grouped { ["blue", "green", "red"][cycle] } else { "" };
        text.push_str(&format!("E{number:05},{litter},{condition},{date},{group},{age},{weight:.1}\n"));
    }
    text
}

/// The mating groups of a grouped flock.
pub const GROUPS: &str = "group,first_day,last_day,of\n\
     blue,2027-03-01,2027-03-17,due\ngreen,2027-03-18,2027-04-03,due\nred,2027-04-04,2027-04-20,due\n";

/// Pens as CSV: alike, or of 0.6 to 1.4 times the middling size; room for `slack` times the flock, with one pen
/// more for ewe lambs where there are any.
pub fn pens(dice: &mut Dice, like: Like, pens: usize, alike: bool, slack: f64) -> String {
    let mut text = String::from("pen,trough_m,area_m2,feeding,floor\n");
    let shares: Vec<f64> = (0..pens).map(|_| if alike { 1.0 } else { dice.between(0.6, 1.4) }).collect();
    let whole: f64 = shares.iter().sum();
    let lambs = like.ewes as f64 * like.ewe_lambs;
    for (number, share) in shares.iter().enumerate() {
        let head = (like.ewes as f64 - lambs) * share / whole * slack;
        let name = char::from(b'A' + number as u8);
        text.push_str(&format!("{name},{:.2},{:.2},restricted,straw\n", head * 0.52, head * 1.31));
    }
    if lambs > 0.0 {
        let head = lambs * 1.3 + 6.0;
        text.push_str(&format!("Z,{:.2},{:.2},restricted,straw\n", head * 0.45, head * 1.3));
    }
    text
}

/// Unlike pens as CSV with 8 % more trough and 2 to 10 % more floor than the flock takes, of which a mean ewe takes
/// so much.
pub fn tight_pens(dice: &mut Dice, pens: usize, ewes: usize, [trough, area]: [f64; 2]) -> String {
    let mut text = String::from("pen,trough_m,area_m2,feeding,floor\n");
    let shares: Vec<f64> = (0..pens).map(|_| dice.between(0.6, 1.4)).collect();
    let whole: f64 = shares.iter().sum();
    for (number, share) in shares.iter().enumerate() {
        let head = ewes as f64 * share / whole;
        let floor = dice.between(1.02, 1.10);
        let name = char::from(b'A' + number as u8);
        text.push_str(&format!(
            "{name},{:.2},{:.2},restricted,straw\n",
            head * trough * 1.08,
            head * area * floor
        ));
    }
    text
}
