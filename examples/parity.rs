//! The cases of `tests/parity.mjs` and the native engine's answers to them, one JSON line for each case.
//!
//! `parity --cases` prints the cases, `parity` the answers. The cases are the demo farm, the ewes of the
//! published tables, and flocks drawn from seeds: from 1 to 400 ewes in 1 to 8 pens, tidy and untidy lists,
//! pens alike and unlike, some impossible.

use evenfold::day::Day;
use evenfold::farm::card::{self, CardReply, CardRequest, CardSheet, Kind};
use evenfold::farm::need::{ConditionQuestion, DueQuestion, Housing, NeedQuestion, NeedReply, WeightTaken};
use evenfold::farm::pen_count::{self, PenCountDocument, PenCountReply};
use evenfold::farm::regroup::{self, RegroupReply, RegroupView, Regrouped};
use evenfold::farm::settings::{DateOrder, Keep, Settings, Soft, System};
use evenfold::farm::view::{EweView, MoveReply, PickedView, ProofView, SortReply};
use evenfold::farm::{DemoFiles, DemoOldPens, Farm, Files};
use serde::Serialize;
use std::fmt::Write as _;

/// Steps of the proof that each case takes.
const PROOF_STEPS: usize = 6;

/// How many flocks are drawn.
const DRAWN: u64 = 50;

/// One question to the engine.
#[derive(Serialize)]
struct Case {
    name: String,
    flock: String,
    pens: String,
    groups: Option<String>,
    settings: Settings,
    /// The ewes to open afterwards.
    open: Vec<String>,
    /// One ewe asked about by her figures alone.
    need: NeedQuestion,
    /// Ewes put into pens by hand, one after another; the last move is taken back.
    moves: Vec<Keep>,
    /// Where the ewes stood, for regrouping; nothing where that is not asked.
    old: Option<String>,
    /// The card asked for; nothing where none is. Cards take long.
    card: Option<CardRequest>,
    /// Whether numbers of pens are asked about.
    count: bool,
}

/// All that the engine says to it.
#[derive(Serialize)]
struct Answer {
    reply: SortReply,
    document: Option<String>,
    ewes: Vec<Option<EweView>>,
    csv: Option<String>,
    need: NeedReply,
    proof: Vec<ProofView>,
    proved_document: Option<String>,
    picked: Vec<Option<PickedView>>,
    moved: Vec<Option<MoveReply>>,
    moved_document: Option<String>,
    taken_back: Option<MoveReply>,
    regroup: Option<RegroupReply>,
    regroup_document: Option<String>,
    regroup_of_three: Option<RegroupView>,
    card: Option<CardReply>,
    card_document: Option<String>,
    pen_count: Option<PenCountReply>,
    pen_count_document: Option<String>,
    old_pens: Option<DemoOldPens>,
}

fn main() {
    let only_cases = std::env::args().any(|argument| argument == "--cases");
    for case in cases() {
        let line =
            if only_cases { serde_json::to_string(&case) } else { serde_json::to_string(&answer(&case)) };
        println!("{}", line.expect("cases and answers are plain values"));
    }
}

fn answer(case: &Case) -> Answer {
    let groups = case.groups.as_deref().map(str::as_bytes);
    let (farm, reply) = Farm::sort(case.flock.as_bytes(), case.pens.as_bytes(), groups, &case.settings);
    let document = farm.as_ref().map(Farm::document_json);
    let mut farm = farm;
    let mut proof = Vec::new();
    if let Some(farm) = &mut farm
        && let Some(mut certificate) = farm.certificate()
    {
        for _ in 0..PROOF_STEPS {
            certificate.step();
            proof.push(farm.take_proof(&certificate));
            if certificate.is_done() {
                break;
            }
        }
    }
    let proved_document = farm.as_ref().map(Farm::document_json);
    let ewes = case.open.iter().map(|tag| farm.as_ref().and_then(|farm| farm.ewe(tag))).collect();
    let csv = farm.as_ref().and_then(|farm| farm.pen_csv(None));
    let (mut picked, mut moved) = (Vec::new(), Vec::new());
    for Keep { tag, pen } in &case.moves {
        picked.push(farm.as_ref().and_then(|farm| farm.picked(tag)));
        moved.push(farm.as_mut().map(|farm| farm.put_into(tag, pen)));
    }
    let moved_document = farm.as_ref().map(Farm::document_json);
    let files = Files { flock: case.flock.as_bytes(), pens: case.pens.as_bytes(), groups };
    let (mut regrouped, regroup) = match &case.old {
        Some(old) => {
            let (regrouped, reply) = regroup::reply(files, &[old.as_bytes()], &case.settings);
            (regrouped, Some(reply))
        }
        None => (None, None),
    };
    let regroup_document = regrouped.as_ref().map(Regrouped::document_json);
    let (sheet, card) = match &case.card {
        Some(request) => {
            let (sheet, reply) = card::reply(files, &case.settings, request);
            (sheet, Some(reply))
        }
        None => (None, None),
    };
    let (counted, pen_count) = if case.count {
        let (document, reply) = pen_count::reply(files, files.pens.len().is_multiple_of(2), &case.settings);
        (document, Some(reply))
    } else {
        (None, None)
    };
    Answer {
        reply,
        document,
        proof,
        proved_document,
        ewes,
        csv,
        need: evenfold::farm::need::reply(&case.need),
        picked,
        moved,
        moved_document,
        taken_back: farm.as_mut().and_then(Farm::take_back),
        regroup,
        regroup_document,
        regroup_of_three: regrouped.as_mut().map(|regrouped| {
            regrouped.list_moves(3);
            regrouped.view()
        }),
        card,
        pen_count,
        pen_count_document: counted.as_ref().map(PenCountDocument::to_json),
        card_document: sheet.as_ref().map(CardSheet::document_json),
        old_pens: if case.name == "demo" { DemoOldPens::new() } else { None },
    }
}

fn cases() -> Vec<Case> {
    let mut cases =
        vec![demo("demo", None), demo("demo for a day", Some(1)), demo("demo for a week", Some(7))];
    cases.extend(published());
    cases.extend((0..DRAWN).map(drawn));
    cases
}

fn demo(name: &str, period_days: Option<u32>) -> Case {
    let files = DemoFiles::new();
    let on = Day::from_iso(&files.on).expect("the demo's day is an ISO date");
    let tags = files.flock.lines().filter_map(|line| line.split([',', ';']).next());
    let open = tags.skip(1).step_by(60).map(str::to_owned).collect();
    let settings = Settings { on, period_days, ..Settings::default() };
    let first: Vec<String> =
        files.flock.lines().skip(1).filter_map(|line| line.split(',').next()).map(str::to_owned).collect();
    let moves = first.iter().step_by(11).zip(["A", "B", "C", "D", "E", "F", "G", "Z"]);
    let moves = moves.map(|(tag, pen)| Keep { tag: tag.clone(), pen: pen.to_owned() }).collect();
    let kind = if period_days.is_none() { Kind::Points } else { Kind::Tree };
    Case {
        name: name.to_owned(),
        moves,
        old: DemoOldPens::new().map(|old| old.list),
        count: true,
        card: Some(CardRequest { kind, weight_classes: period_days == Some(7), tried: None }),
        flock: files.flock,
        pens: files.pens,
        groups: Some(files.groups),
        settings,
        open,
        need: NeedQuestion::default(),
    }
}

/// The ewes of the published tables that are fed as the default has it, as one flock in one great pen.
fn published() -> Option<Case> {
    let settings = Settings { period_days: Some(1), ..Settings::default() };
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/requirement.csv");
    let mut table = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(file).ok()?;
    let columns = table.headers().ok()?.clone();
    let mut flock = "tag,litter,condition,due,weight_kg,growth_g_per_day,age\n".to_owned();
    let mut open = Vec::new();
    for (number, row) in table.records().enumerate() {
        let row = row.expect("the published cells are a sound table");
        let cell = |name: &str| columns.iter().position(|column| column == name).and_then(|at| row.get(at));
        let figure = |name: &str| cell(name).and_then(|cell| cell.parse::<f64>().ok());
        if figure("diet_me_mj_per_kg_dm") != Some(settings.diet_me_mj_per_kg_dm) {
            continue;
        }
        let (weight, litter, growth) = (figure("ewe_kg")?, figure("litter")?, figure("growth_g_per_day")?);
        // Barren ewes have no day; a range of days stands for its first.
        let days = cell("days_to_lambing")?.split(' ').next()?.parse().ok();
        let due = days.map(|days| settings.on.plus(days).to_string()).unwrap_or_default();
        let tag = tag(number as u64);
        writeln!(flock, "{tag},{litter},3,{due},{weight},{growth},mature").expect("a string takes all text");
        open.push(tag);
    }
    let pens = "pen,trough_m,area_m2\nA,500,2000\n".to_owned();
    Some(Case {
        name: "published needs".to_owned(),
        flock,
        pens,
        groups: None,
        settings,
        open,
        need: NeedQuestion::default(),
        moves: Vec::new(),
        old: None,
        card: None,
        count: false,
    })
}

/// Numbers that look random and are the same everywhere: Steele, Lea and Flood's splitmix64, 2014.
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn between(&mut self, least: u64, most: u64) -> u64 {
        least + self.next() % (most - least + 1)
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.between(1, 100) <= percent
    }

    fn pick<'a, T: ?Sized>(&mut self, from: &[&'a T]) -> &'a T {
        from[self.between(0, from.len() as u64 - 1) as usize]
    }
}

fn drawn(seed: u64) -> Case {
    let mut draw = Draw(seed);
    let head = match seed {
        0 | 2 => 1,
        1 => 400,
        _ if draw.chance(40) => draw.between(2, 30),
        _ => draw.between(31, 400),
    };
    let dates = *draw.pick(&[&Dates::Iso, &Dates::Iso, &Dates::DayFirst, &Dates::MonthFirst]);
    let flock = flock(&mut draw, head, dates);
    let pens = pens(&mut draw, head);
    let groups = draw.chance(92).then(|| groups(dates));
    // Without an order, some lists raise the question which one is meant.
    let order = match dates {
        Dates::Iso => None,
        Dates::DayFirst => draw.chance(80).then_some(DateOrder::Dmy),
        Dates::MonthFirst => draw.chance(80).then_some(DateOrder::Mdy),
    };
    let mut settings = Settings {
        on: Day::of(2027, 2, draw.between(1, 20) as i8).expect("February has 20 days"),
        period_days: *draw.pick(&[&None, &Some(1), &Some(7)]),
        dates: order,
        system: *draw.pick(&[&System::Lowland, &System::Upland, &System::Hill]),
        min_head: draw.between(1, 6) as u32,
        ..Settings::default()
    };
    if draw.chance(30) {
        (settings.under, settings.over) = (draw.between(1, 9) as f64, 1.0 + draw.between(0, 9) as f64 / 10.0);
    }
    if draw.chance(30) {
        settings.horned_trough_percent = draw.between(0, 25) as f64;
        settings.diet_me_mj_per_kg_dm = 10.0 + draw.between(0, 20) as f64 / 10.0;
    }
    if draw.chance(35) {
        let mut weigh = |most: u64| if draw.chance(50) { draw.between(1, most) as f64 / 8.0 } else { 0.0 };
        settings.soft = Soft {
            protein_mj_per_g: weigh(2),
            even_filling_mj_per_ewe: weigh(80),
            body_size_mj_per_kg: weigh(8),
            lambing_spread_mj_per_day: weigh(8),
        };
    }
    if draw.chance(25) {
        settings.under_by_litter = vec![3.0, 5.0, 7.0];
    }
    if draw.chance(25) {
        settings.together.push(vec![tag(draw.between(0, head)), tag(draw.between(0, head))]);
        settings.apart.push(vec![tag(draw.between(0, head)), tag(draw.between(0, head))]);
        settings.out_of_use.push(pen_name(draw.between(2, 9)));
    }
    for _ in 0..if draw.chance(30) { draw.between(1, 3) } else { 0 } {
        settings.keep.push(Keep { tag: tag(draw.between(0, head)), pen: pen_name(draw.between(0, 3)) });
    }
    let open = vec![tag(0), tag(head / 2), tag(head - 1), "no such ewe".to_owned()];
    let need = need(&mut draw, settings.system);
    let moves =
        (0..8).map(|_| Keep { tag: tag(draw.between(0, head)), pen: pen_name(draw.between(0, 4)) }).collect();
    let old = draw.chance(60).then(|| old(&mut draw, head, &pens));
    let card = draw.chance(20).then(|| CardRequest {
        kind: *draw.pick(&[&Kind::Points, &Kind::Tree]),
        weight_classes: draw.chance(50),
        tried: draw.chance(20).then(|| "no card at all".to_owned()),
    });
    let count = draw.chance(40);
    let name = format!("drawn from seed {seed}: {head} ewes");
    Case { name, flock, pens, groups, settings, open, need, moves, old, card, count }
}

/// Where the ewes stood: pens at random, now and then one that is not there or a ewe forgotten.
fn old(draw: &mut Draw, head: u64, pens: &str) -> String {
    let names: Vec<&str> = pens.lines().skip(1).filter_map(|line| line.split(',').next()).collect();
    let faulty = draw.chance(20);
    let mut text = "pen,tag\n".to_owned();
    for number in 0..head {
        let pen = if faulty && draw.chance(3) { "Q" } else { draw.pick(&names) };
        if !(faulty && draw.chance(3)) {
            writeln!(text, "{pen},{}", tag(number)).expect("a string takes all text");
        }
    }
    text
}

/// A question about one ewe, now and then outside the legal range.
fn need(draw: &mut Draw, system: System) -> NeedQuestion {
    let weight_kg = draw.between(220, 1000) as f64 / 10.0;
    let days = Some(draw.between(0, 120) as u32);
    let condition = draw.chance(60).then(|| ConditionQuestion {
        second_score: draw.chance(30).then_some(2.75),
        class_mean: draw.chance(30).then_some(3.1),
        system,
        ..ConditionQuestion::new(draw.between(4, 20) as f64 / 4.0)
    });
    let due = draw.chance(30).then(|| DueQuestion {
        on: Day::of(2027, 2, 1).expect("1 February 2027 is in the calendar"),
        since: Day::of(2026, 10, draw.between(1, 31) as i8).expect("October has 31 days"),
        until: None,
        scanned_age_days: None,
        breed: "usual".to_owned(),
    });
    NeedQuestion {
        standard: (*draw.pick(&["afrc1993", "inra2007", "csiro2007", "nrc2007"])).to_owned(),
        housing: *draw.pick(&[&Housing::Housed, &Housing::Lowland, &Housing::Hill]),
        weight_taken: *draw.pick(&[&WeightTaken::Without, &WeightTaken::With]),
        condition,
        due,
        compare: true,
        sensitivity: true,
        ..NeedQuestion::new(weight_kg, draw.between(0, 5) as u8, days)
    }
}

/// How a list writes its days.
#[derive(Clone, Copy)]
enum Dates {
    Iso,
    DayFirst,
    MonthFirst,
}

impl Dates {
    fn write(self, month: u64, day: u64) -> String {
        match self {
            Self::Iso => format!("2027-{month:02}-{day:02}"),
            Self::DayFirst => format!("{day:02}/{month:02}/2027"),
            Self::MonthFirst => format!("{month:02}/{day:02}/2027"),
        }
    }
}

fn tag(number: u64) -> String {
    format!("{:04}", 17 * number + 3)
}

fn pen_name(number: u64) -> String {
    char::from(b'A' + number as u8).to_string()
}

/// A flock list as people keep them: columns left out, cells left empty, commas or points in figures.
fn flock(draw: &mut Draw, head: u64, dates: Dates) -> String {
    let comma = draw.chance(25);
    let between = if comma { ";" } else { "," };
    let figure = |tenths: u64, of: u64| {
        let text = format!("{}", tenths as f64 / of as f64);
        if comma { text.replace('.', ",") } else { text }
    };
    let missing = *draw.pick(&[&0, &4, &15]);
    let (aged, weighed, quarters, last_month) =
        (draw.chance(70), draw.chance(70), draw.chance(30), draw.between(3, 4));
    let mut text = ["tag", "litter", "condition", "due", "group"].join(between);
    for (column, there) in [("age", aged), ("weight_kg", weighed)] {
        if there {
            write!(text, "{between}{column}").expect("a string takes all text");
        }
    }
    text.push_str(between);
    text.push_str("shorn\n");
    let (even, untidy) = (draw.chance(15), draw.chance(25));
    for number in 0..head {
        let mut cells = vec![
            draw.pick(&["1", "1", "2", "2", "2", "2", "3", "3", "twins", "single", "4", "0"]).to_owned(),
            if quarters { figure(draw.between(5, 17), 4) } else { figure(draw.between(3, 8), 2) },
            dates.write(draw.between(2, last_month), draw.between(1, 28)),
            draw.pick(&["red", "red", "blue", "blue", "green", "green", "green", "purple"]).to_owned(),
        ];
        if aged {
            cells.push(draw.pick(&["mature", "mature", "shearling", "ewe lamb"]).to_owned());
        }
        if weighed {
            cells.push(if even { figure(70, 1) } else { figure(draw.between(400, 950), 10) });
        }
        cells.push(draw.pick(&["", "", "yes", "no"]).to_owned());
        // Most ewes have a day or a group; some have both, some neither.
        let empty = if draw.chance(50) { 3 } else { 2 };
        cells[empty].clear();
        for cell in &mut cells {
            if draw.chance(missing) {
                cell.clear();
            }
        }
        // Now and then a row that nobody can read.
        if untidy && draw.chance(2) {
            cells[1] = "fat".to_owned();
        }
        writeln!(text, "{}{between}{}", tag(number), cells.join(between)).expect("a string takes all text");
    }
    text
}

/// Pens for `head` ewes: with room to spare, just enough, or too little.
fn pens(draw: &mut Draw, head: u64) -> String {
    let count = draw.between(1, 8);
    let room = *draw.pick(&[&85, &105, &115, &125, &140, &200]);
    let (alike, plain) = (draw.chance(40), draw.chance(50));
    let mut text = "pen,trough_m,places,area_m2,feeding,floor,blocked_corners,only,not,max_head\n".to_owned();
    for number in 0..count {
        let share = if alike { 100 } else { draw.between(60, 150) };
        // Half a metre of trough and a metre and a half of floor for each of its share of ewes, and some more.
        let ewes = (head * room * share).div_ceil(count * 10_000).max(1);
        let places = !plain && draw.chance(25);
        let trough = if places { String::new() } else { format!("{:.1}", ewes as f64 * 0.5) };
        let places = if places { ewes.to_string() } else { String::new() };
        let (feeding, floor, corners, only, not, most) = if plain {
            ("restricted", "straw", "0", "", "", "")
        } else {
            (
                draw.pick(&["restricted", "restricted", "always"]),
                draw.pick(&["straw", "straw", "slats"]),
                if places.is_empty() { draw.pick(&["0", "0", "1", "2"]) } else { "" },
                if number > 1 { draw.pick(&["", "", "ewe lamb"]) } else { "" },
                if number == 1 { draw.pick(&["", "", "ewe lamb"]) } else { "" },
                draw.pick(&["", "", "", "40", "60"]),
            )
        };
        let area = ewes as f64 * 1.5;
        let name = pen_name(number);
        writeln!(text, "{name},{trough},{places},{area:.1},{feeding},{floor},{corners},{only},{not},{most}")
            .expect("a string takes all text");
    }
    text
}

fn groups(dates: Dates) -> String {
    let row = |group: &str, first, last, of: &str| format!("{group},{first},{last},{of}\n");
    [
        "group,first_day,last_day,of\n".to_owned(),
        row("red", dates.write(3, 1), dates.write(3, 17), "due"),
        row("blue", dates.write(3, 18), dates.write(4, 3), "due"),
        row("green", "2026-10-20".to_owned(), "2026-11-05".to_owned(), "service"),
    ]
    .concat()
}
