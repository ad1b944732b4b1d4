//! An invented scanning day: two devices at two races, each ewe's card as an act, some ewes read at both, slips
//! corrected and undone, marks, pens. Nothing in it is real: the identifiers begin with 001, which is no
//! country's code.
#![allow(clippy::unwrap_used, dead_code, missing_docs, unreachable_pub)]

use super::Dice;
use evenfold::flock::{AgeClass, Eid, Litter, Score};
use evenfold::journal::{Advice, Entering, Journal, Mark, Name, Now, PenRow, What};

/// 12 January 2027, 08:30 UTC.
pub const START_MS: u64 = 1_799_742_600_000;
pub const DEVICES: [&str; 2] = ["race-a", "race-b"];
pub const PEOPLE: [&str; 2] = ["Ann", "Ben"];
const PENS: [&str; 4] = ["A", "B", "C", "D"];

/// Who enters, on which device, when.
pub fn entering(device: usize, ms: u64) -> Entering {
    Entering {
        device: DEVICES[device].to_owned(),
        now: Now { ms, offset_minutes: 0 },
        by: Some(PEOPLE[device].to_owned()),
        day: None,
    }
}

pub fn eid(number: usize) -> Eid {
    Eid::of(1, 7_000_000 + number as u64).unwrap()
}

/// The tag of the ewe of a number, with its zeros.
pub fn tag(number: usize) -> String {
    format!("{number:04}")
}

/// One ewe's card: one act of five or six events.
pub fn card(dice: &mut Dice, number: usize) -> Vec<What> {
    // Every twentieth ewe has lost her electronic tag.
    let has_eid = number % 20 != 7;
    let ewe = if has_eid { Name::Eid(eid(number)) } else { Name::Tag(tag(number)) };
    let lambs = [0, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 4][dice.below(14)];
    let score = Score::of(2.0 + 0.25 * dice.below(8) as f64).unwrap();
    let age =
        [AgeClass::Mature, AgeClass::Mature, AgeClass::Shearling, AgeClass::EweLamb][number * 4 / 400 % 4];
    let mut card = vec![
        What::EweMet {
            eid: has_eid.then(|| eid(number)),
            tag: Some(tag(number)),
            read: has_eid.then(|| format!("LA {}", eid(number))),
        },
        What::Scanned { ewe: ewe.clone(), lambs: Litter::of(lambs).unwrap() },
        What::ConditionScored { ewe: ewe.clone(), score },
        What::AgeGiven { ewe: ewe.clone(), age },
        What::DueGiven {
            ewe: ewe.clone(),
            group: Some(["early", "late"][dice.below(2)].to_owned()),
            due: None,
        },
    ];
    if dice.below(25) == 0 {
        card.push(What::Marked { ewe: ewe.clone(), mark: Mark::Lame, words: None });
    }
    let advised = PENS[dice.below(4)];
    let pen = if dice.below(20) == 0 { PENS[dice.below(4)] } else { advised };
    let words = format!("{lambs} lambs at {score}");
    let advised = Some(Advice { pen: advised.to_owned(), words });
    card.push(What::PenGiven { ewe, pen: pen.to_owned(), advised });
    card
}

/// What is described before the first ewe.
pub fn shed() -> Vec<What> {
    let day = |text| evenfold::day::Day::from_iso(text).unwrap();
    let group = |name: &str, first, last| What::GroupDescribed {
        group: name.to_owned(),
        first_day: day(first),
        last_day: day(last),
        of: evenfold::flock::DayOf::Due,
    };
    let mut shed = vec![
        What::FlockNamed { name: "Invented flock".to_owned() },
        group("early", "2027-03-01", "2027-03-17"),
        group("late", "2027-03-18", "2027-04-03"),
    ];
    shed.extend(PENS.iter().map(|pen| {
        What::PenDescribed(PenRow {
            pen: (*pen).to_owned(),
            trough_m: Some(45.0),
            places: None,
            area_m2: 120.0,
            feeding: None,
            floor: None,
            blocked_corners: None,
            only: Vec::new(),
            not: Vec::new(),
            max_head: None,
        })
    }));
    shed
}

/// The two journals at the end of the day. The second knows of the first's morning; neither knows of the other's
/// afternoon. About one ewe in thirty was read at both races, one in fifty was corrected, one undone.
pub fn scanning_day(seed: u64, ewes: usize) -> [Journal; 2] {
    let mut dice = Dice(seed);
    let mut journals = [Journal::new(), Journal::new()];
    journals[0].append(&entering(0, START_MS - 600_000), shed());
    let mut ms = START_MS;
    for number in 1..=ewes {
        // 270 ewes an hour over both races.
        ms += 9_000 + dice.below(9_000) as u64;
        let device = dice.below(2);
        let act = journals[device].append(&entering(device, ms), card(&mut dice, number));
        if dice.below(30) == 0 {
            journals[1 - device].append(&entering(1 - device, ms + 3_000), card(&mut dice, number));
        }
        if dice.below(50) == 0 {
            let ewe = act[1].event.what().unwrap().ewe().unwrap();
            let again = What::Scanned { ewe, lambs: Litter::of(2).unwrap() };
            journals[device].append(&entering(device, ms + 4_000), vec![again]);
        }
        if dice.below(50) == 0 {
            let events = act.iter().map(|entry| entry.event.id.clone()).collect();
            journals[device].append(&entering(device, ms + 5_000), vec![What::Undone { events }]);
        }
        if number == ewes / 2 {
            let morning = journals[0].clone();
            journals[1].merge(&morning);
        }
    }
    journals
}

/// One journal of at least so many events, by two devices, merged.
pub fn long_journal(seed: u64, events: usize) -> Journal {
    let mut ewes = events / 6;
    loop {
        let [mut one, other] = scanning_day(seed, ewes);
        one.merge(&other);
        if one.len() >= events {
            return one;
        }
        ewes += ewes / 20 + 1;
    }
}
