//! What the native engine makes of invented journals, for `tests/parity.mjs`: one JSON line for each.
//!
//! `journal --events 20000` prints the file of one long journal instead, for `benches/wasm.mjs`.

use evenfold::day::Day;
use evenfold::farm::DemoFiles;
use evenfold::farm::journal::{AppendReply, LookRequest, Mark, Name, Now, TakeReply, UndoRequest};
use evenfold::farm::race::{
    BringReply, BringRequest, Bringing, Card, Gate, Given, LeaveRequest, Left, LookedUp, MoveMade, Moved,
    MovedRequest, OpenRequest, Race, RaceRequest, RaceSettings, RaceView, Stands,
};
use evenfold::flock::{Litter, Score};
use evenfold::io::write_journal;
use serde::Serialize;

#[path = "../tests/common/dice.rs"]
mod dice;
#[path = "../tests/common/scanning_day.rs"]
mod scanning;

use dice::Dice;
use scanning::{START_MS, long_journal, scanning_day};

/// How many days are drawn.
const DRAWN: u64 = 5;

/// Ewes that come to the race after that.
const COMING: usize = 24;

/// What is put to the engine, and what it says.
#[derive(Serialize)]
struct Case {
    files: Vec<String>,
    bring: BringRequest,
    lists: [String; 3],
    open: OpenRequest,
    looks: Vec<LookRequest>,
    enters: Vec<RaceRequest>,
    device: String,
    now: Now,
    taken: Vec<TakeReply>,
    brought: BringReply,
    opened: RaceView,
    looked: Vec<LookedUp>,
    gates: Vec<Gate>,
    entered: Vec<Given>,
    moves: MovedRequest,
    moved: Moved,
    leaves: LeaveRequest,
    left: Left,
    undone: AppendReply,
    viewed: RaceView,
    stands: Stands,
    file: String,
    flock: String,
    pens: Option<String>,
    groups: Option<String>,
}

fn main() {
    let mut arguments = std::env::args().skip(1);
    if arguments.next().as_deref() == Some("--events") {
        let events = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(20_000);
        print!("{}", write_journal(&long_journal(1, events)));
        return;
    }
    for seed in 0..DRAWN {
        println!("{}", serde_json::to_string(&case(seed)).expect("answers are plain values"));
    }
}

fn case(seed: u64) -> Case {
    let dice = &mut Dice(seed);
    let files: Vec<String> = scanning_day(seed, 40).iter().map(write_journal).collect();
    let DemoFiles { flock, pens, groups, .. } = DemoFiles::new();
    let device = "race-a".to_owned();
    let now = Now { ms: START_MS + 20_000_000, offset_minutes: 60 };
    let mut race = Race::new();
    let taken = files.iter().map(|file| race.take(file.as_bytes())).collect();
    let bring = BringRequest { device: device.clone(), now, flock_name: None, dates: None, list_of: None };
    let lists = Bringing {
        flock: Some(flock.as_bytes()),
        pens: Some(pens.as_bytes()),
        groups: Some(groups.as_bytes()),
    };
    let brought = race.bring(bring.clone(), lists);
    let ways = [None, Some(2), Some(3)][seed as usize % 3];
    let settings = RaceSettings { ways, ..RaceSettings::usual(now) };
    let open = OpenRequest { device: device.clone(), now, settings };
    let opened = race.open(&open);
    let day = Day::of(2027, 1, 12).expect("12 January 2027 is in the calendar");
    let looks: Vec<LookRequest> = ["LA 001 000007000003", "0007", "7", "NO READ", "999000000000001"]
        .map(|read| LookRequest { read: read.to_owned(), day })
        .into();
    let looked = looks.iter().map(|look| race.look(look)).collect();
    let tags: Vec<&str> = flock.lines().skip(1).filter_map(|line| line.split(',').next()).collect();
    let enters: Vec<RaceRequest> = (0..COMING).map(|_| coming(dice, &device, now, &tags)).collect();
    let (mut gates, mut entered) = (Vec::new(), Vec::new());
    for request in &enters {
        gates.push(race.answer(&request.card));
        entered.push(race.enter(request));
        race.catch_up();
    }
    // Everybody out of the first pen, into the next.
    let sheets = race.stands().sheets;
    let filled: Vec<&String> = sheets.iter().map(|sheet| &sheet.pen).collect();
    let out_of = |tag: &String| MoveMade {
        tag: tag.clone(),
        from: filled.first().map(|pen| (*pen).clone()),
        to: filled.get(1).map(|pen| (*pen).clone()),
        words: "To even them out.".to_owned(),
    };
    let first = sheets.iter().take(1).flat_map(|sheet| &sheet.ewes);
    let moves = first.map(|ewe| out_of(&ewe.tag)).collect();
    let moves = MovedRequest { device: device.clone(), now, moves };
    let moved = race.moved(moves.clone());
    // Of those who stand somewhere some leave; whoever stands nowhere is left out.
    let standing = race.stands().sheets.into_iter().flat_map(|sheet| sheet.ewes).step_by(3);
    let ewes = standing.map(|ewe| Name::Tag(ewe.tag)).chain([Name::Tag("nobody".to_owned())]).collect();
    let leaves = LeaveRequest { device: device.clone(), now, ewes };
    let left = race.leave(leaves.clone());
    let act = opened.acts.first().map(|act| act.act.to_string()).unwrap_or_default();
    Case {
        moves,
        moved,
        leaves,
        left,
        undone: race.undo(&UndoRequest { device: device.clone(), now, by: None, act }),
        viewed: race.view(&device, now),
        stands: race.stands(),
        file: race.book().file(),
        flock: race.flock_csv(),
        pens: race.book().pens_csv(),
        groups: race.book().groups_csv(),
        lists: [flock, pens, groups],
        files,
        bring,
        open,
        looks,
        enters,
        device,
        now,
        taken,
        brought,
        opened,
        looked,
        gates,
        entered,
    }
}

/// A ewe of the list at the gate, as somebody finds her.
fn coming(dice: &mut Dice, device: &str, now: Now, tags: &[&str]) -> RaceRequest {
    let tag = tags[dice.below(tags.len())];
    let card = Card {
        name: Some(Name::Tag(tag.to_owned())),
        lambs: Litter::of(dice.below(4) as u8),
        score: Score::of(2.0 + 0.5 * dice.below(5) as f64),
        marks: if dice.below(9) == 0 { vec![Mark::Lame] } else { Vec::new() },
        ..Card::default()
    };
    RaceRequest { device: device.to_owned(), now, card, sure: dice.below(2) == 0 }
}
