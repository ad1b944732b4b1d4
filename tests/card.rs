//! Rule cards as somebody at the race meets them: written, read again, tried, and held against the sort.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Dice, evenfold, folder, stderr, stdout, valid};
use evenfold::sort::card::{read, write};
use serde_json::Value;

const DEMO: [&str; 8] = [
    "card",
    "data/example/flock.csv",
    "--pens",
    "data/example/pens.csv",
    "--groups",
    "data/example/groups.csv",
    "--on",
    "2027-02-01",
];

fn card(more: &[&str]) -> Value {
    let output = evenfold(&[&DEMO, more, &["--json"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    valid("card", &stdout(&output))
}

#[test]
fn a_card_written_and_read_again_is_the_same_card_with_the_same_figures() {
    for kind in ["points", "tree"] {
        let path = folder("card").join(format!("{kind}.txt"));
        let path = path.to_str().unwrap();
        let found = card(&["--kind", kind, "--write", path]);
        let text = std::fs::read_to_string(path).unwrap();
        let once = read(&text).expect("what was written can be read");
        assert_eq!(once, read(&write(&once, &[])).unwrap());
        let tried = card(&["--try", path]);
        for part in ["card", "ewes"] {
            assert_eq!(tried[part], found[part], "{kind}: {part}");
        }
        assert_eq!(found, card(&["--kind", kind]), "{kind}: the same twice");
    }
}

#[test]
fn a_card_beats_sorting_by_lambs_alone_and_never_beats_the_sort() {
    for kind in ["points", "tree"] {
        let found = card(&["--kind", kind]);
        let misfit = |who: &str| found[who]["misfit_mj"].as_f64().unwrap();
        assert!(misfit("optimum") <= misfit("card") && misfit("card") < misfit("litter_only"), "{kind}");
        let outside = |who: &str| found["out_of_sample"][who].as_f64().unwrap();
        let share = 100.0 * (outside("one_ration_mj") - outside("card_mj"))
            / (outside("one_ration_mj") - outside("optimum_mj"));
        assert!((share - outside("card_share_percent")).abs() < 1e-9, "{kind}");
    }
}

#[test]
fn where_a_card_sends_them_no_limit_is_broken() {
    for kind in ["points", "tree"] {
        let found = card(&["--kind", kind]);
        let mut list = String::from("tag,pen\n");
        for ewe in found["ewes"].as_array().unwrap() {
            list.push_str(&format!("{},{}\n", ewe["tag"].as_str().unwrap(), ewe["pen"].as_str().unwrap()));
        }
        let path = folder("card-limits").join(format!("{kind}.csv"));
        std::fs::write(&path, list).unwrap();
        let words = [&["evaluate", path.to_str().unwrap(), "--flock"], &DEMO[1..], &["--json"]].concat();
        let scored = evenfold(&words);
        assert_eq!(scored.status.code(), Some(0), "{}", stderr(&scored));
        let scored: Value = serde_json::from_str(&stdout(&scored)).unwrap();
        assert_eq!(scored["limits_broken"], serde_json::json!([]), "{kind}");
        let (own, other) = (found["card"]["misfit_mj"].as_f64(), scored["misfit_mj"].as_f64());
        assert!((own.unwrap() - other.unwrap()).abs() < 1e-6, "{kind}: {own:?} {other:?}");
    }
}

#[test]
fn what_is_settled_by_hand_holds_on_both_sides_and_the_card_says_that_it_cannot_tell() {
    for kind in ["points", "tree"] {
        let free = card(&["--kind", kind]);
        let ewes = free["ewes"].as_array().unwrap();
        // Pens for all ages; whoever the card sends to the same of them as the sort does, and somebody else.
        let open = ["B", "C", "D", "F"];
        let agree =
            |ewe: &&Value| ewe["pen"] == ewe["pen_by_sort"] && open.iter().any(|&pen| ewe["pen"] == pen);
        let differ = |ewe: &&Value| {
            ["pen", "pen_by_sort"].iter().all(|side| open.iter().any(|&pen| ewe[side] == pen)) && !agree(ewe)
        };
        let mut agreeing = ewes.iter().filter(agree);
        let (kept, other) = (agreeing.next().unwrap(), agreeing.next().unwrap()["tag"].as_str().unwrap());
        let one = ewes.iter().find(differ).unwrap()["tag"].as_str().unwrap();
        let pen = open.into_iter().find(|&pen| kept["pen"] != pen).unwrap();
        let kept = kept["tag"].as_str().unwrap();
        let keep = format!("{kept}={pen}");
        let more = ["--kind", kind, "--keep", &keep, "--together", &format!("{one},{other}")];
        let found = card(&more);
        let ewe = |tag: &str| {
            found["ewes"].as_array().unwrap().iter().find(|ewe| ewe["tag"] == tag).unwrap().clone()
        };
        assert_eq!((&ewe(kept)["pen"], &ewe(kept)["pen_by_sort"]), (&pen.into(), &pen.into()), "{kind}");
        for side in ["pen", "pen_by_sort"] {
            assert_eq!(ewe(one)[side], ewe(other)[side], "{kind}: {side}");
        }
        let codes: Vec<&str> = found["problems"]
            .as_array()
            .unwrap()
            .iter()
            .map(|problem| problem["code"].as_str().unwrap())
            .collect();
        assert!(codes.contains(&"card-cannot-keep") && codes.contains(&"card-cannot-tie"), "{codes:?}");
        let words = stdout(&evenfold(&[&DEMO, &more[..]].concat()));
        for part in
            [format!("{kept} in pen {pen}"), format!("{one} with {other}"), "no card can tell".to_owned()]
        {
            assert!(words.contains(&part), "{kind}: no '{part}' in\n{words}");
        }
    }
}

#[test]
fn a_card_with_a_gap_or_a_pen_that_is_not_there_is_refused_by_line() {
    let path = folder("card-wrong").join("points.txt");
    let name = path.to_str().unwrap();
    card(&["--write", name]);
    let good = std::fs::read_to_string(&path).unwrap();
    type Change = fn(&str) -> String;
    let changes: [(&str, Change); 3] = [
        ("a gap", |text| {
            text.lines().filter(|line| !line.starts_with("lambs 2")).collect::<Vec<_>>().join("\n")
        }),
        ("no such pen", |text| text.replace(": B\n", ": Q\n")),
        ("two at once", |text| text.replace("lambs 2:", "lambs 1 to 2:")),
    ];
    for (what, change) in changes {
        let wrong = change(&good);
        assert_ne!(wrong, good, "{what}");
        std::fs::write(&path, wrong).unwrap();
        let output = evenfold(&[&DEMO[..], &["--try", name]].concat());
        let said = format!("{}{}", stdout(&output), stderr(&output));
        assert_eq!(output.status.code(), Some(2), "{what}: {said}");
    }
}

#[test]
fn no_text_however_mangled_stops_the_reader() {
    let path = folder("card-mangled").join("points.txt");
    card(&["--write", path.to_str().unwrap()]);
    let good: Vec<char> = std::fs::read_to_string(&path).unwrap().chars().collect();
    let mut refused = 0;
    for seed in 0..3000 {
        let mut dice = Dice(seed);
        let mut text = good.clone();
        for _ in 0..1 + dice.below(6) {
            if text.len() < 2 {
                break;
            }
            let at = dice.below(text.len());
            match dice.below(3) {
                0 => drop(text.remove(at)),
                1 => text.insert(at, ['9', ':', '\n', ' ', 'é', '-', '\u{0}'][dice.below(7)]),
                _ => text.truncate(at.max(1)),
            }
        }
        refused += usize::from(read(&text.iter().collect::<String>()).is_err());
    }
    assert!(refused > 500, "{refused} refused");
}
