//! The command line as a user meets it: exit codes, words, the JSON document against its schema.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

mod common;

use common::{evenfold, folder, stderr, stdout, valid};
use serde_json::Value;
use std::path::Path;

const DEMO: [&str; 8] = [
    "sort",
    "data/example/flock.csv",
    "--pens",
    "data/example/pens.csv",
    "--groups",
    "data/example/groups.csv",
    "--on",
    "2027-02-01",
];

fn demo(more: &[&str]) -> std::process::Output {
    evenfold(&[&DEMO, more].concat())
}

fn written(name: &str, files: &[(&str, &str)]) -> std::path::PathBuf {
    let folder = folder(name);
    for (file, text) in files {
        std::fs::write(folder.join(file), text).unwrap();
    }
    folder
}

fn path(folder: &Path, file: &str) -> String {
    folder.join(file).to_str().unwrap().to_owned()
}

#[test]
fn the_demo_farm_is_sorted_in_words_and_in_json() {
    let words = demo(&[]);
    assert_eq!(words.status.code(), Some(0), "{}", stderr(&words));
    let text = stdout(&words);
    for part in [
        "ewes in 7 pens",
        "MJ ME and",
        "g MP a ewe a day",
        "from the best possible",
        "Fit badly",
        "Set apart",
    ] {
        assert!(text.contains(part), "no '{part}' in:\n{text}");
    }
    assert!(text.contains("not a substitute for your vet or feed adviser"));
    let json = demo(&["--json"]);
    assert_eq!(json.status.code(), Some(0));
    let document = valid("sort", &stdout(&json));
    assert_eq!(document["status"], "sorted");
    assert_eq!(document["period_days"], 21);
    let apart = document["set_apart"].as_array().unwrap().len();
    assert_eq!(document["ewes"].as_array().unwrap().len() + apart, 240, "every row is a ewe somewhere");
}

#[test]
fn the_schema_refuses_what_is_not_a_document() {
    let schema: Value =
        serde_json::from_str(&std::fs::read_to_string("data/schema/sort.schema.json").unwrap()).unwrap();
    let mut document: Value = serde_json::from_str(&stdout(&demo(&["--json"]))).unwrap();
    assert!(jsonschema::is_valid(&schema, &document));
    document["ewes"][0]["needs"][0].as_object_mut().unwrap().remove("me_mj_per_day");
    assert!(!jsonschema::is_valid(&schema, &document));
}

#[test]
fn nought_and_one_day_are_that_day_alone() {
    let (nought, one) = (demo(&["--json", "--period-days", "0"]), demo(&["--json", "--period-days", "1"]));
    assert_eq!(stdout(&nought), stdout(&one));
    let document = valid("sort", &stdout(&one));
    assert_eq!(document["mean_intake_kg_dm"].as_array().unwrap().len(), 1);
    let three = valid("sort", &stdout(&demo(&["--json", "--period-days", "3"])));
    assert_eq!(three["mean_intake_kg_dm"][2]["date"], "2027-02-03");
}

#[test]
fn lists_name_every_ewe_once() {
    let folder = folder("lists");
    let output = demo(&["--out", folder.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let mut tags = Vec::new();
    for entry in std::fs::read_dir(&folder).unwrap() {
        let mut reader = csv::Reader::from_path(entry.unwrap().path()).unwrap();
        let column =
            reader.headers().unwrap().iter().position(|header| header == "tag").expect("a tag column");
        tags.extend(reader.records().map(|record| record.unwrap()[column].to_owned()));
    }
    assert_eq!(tags.len(), 240);
    tags.sort();
    tags.dedup();
    assert_eq!(tags.len(), 240);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn wrong_rows_are_named_and_can_be_set_aside() {
    let wrong = [
        "sort",
        "data/example/wrong/flock.csv",
        "--pens",
        "data/example/wrong/pens.csv",
        "--on",
        "2027-02-01",
    ];
    let refused = evenfold(&wrong);
    assert_eq!(refused.status.code(), Some(2));
    let words = stderr(&refused);
    assert!(words.matches("error: flock row").count() >= 8, "{words}");
    assert!(words.contains("found '") && words.contains("--set-aside"), "{words}");
    assert!(stdout(&refused).is_empty());
    let document = valid("sort", &stdout(&evenfold(&[&wrong[..], &["--json"]].concat())));
    assert_eq!(document["status"], "refused");
    for problem in document["problems"].as_array().unwrap() {
        assert!(
            !problem["message"].as_str().unwrap().is_empty() && !problem["hint"].as_str().unwrap().is_empty()
        );
    }
    let rest = evenfold(&[&wrong[..], &["--set-aside", "--json"]].concat());
    assert_eq!(rest.status.code(), Some(0), "{}", stderr(&rest));
    let document = valid("sort", &stdout(&rest));
    assert!(document["set_apart"].as_array().unwrap().len() >= 8);
}

#[test]
fn too_little_room_says_how_much_and_how_to_mend_it() {
    let rows: String = (0..30).map(|ewe| format!("E{ewe:02},2,3,2027-03-05,70\n")).collect();
    let folder = written(
        "room",
        &[
            ("flock.csv", &format!("tag,litter,condition,due,weight_kg\n{rows}")),
            // 30 ewes of 70 kg need 15.0 m of trough; there are 10.0 m, for 20 of them.
            ("pens.csv", "pen,trough_m,area_m2\nA,5.0,30\nB,5.0,30\n"),
        ],
    );
    let (flock, pens) = (path(&folder, "flock.csv"), path(&folder, "pens.csv"));
    let call = ["sort", &flock, "--pens", &pens, "--on", "2027-02-01"];
    let output = evenfold(&call);
    assert_eq!(output.status.code(), Some(3));
    let words = stderr(&output);
    for part in [
        "10 ewes more than the pens can hold",
        "5.0 m of trough short",
        "5.0 m more trough in pen A",
        "limited by trough",
    ] {
        assert!(words.contains(part), "no '{part}' in:\n{words}");
    }
    let json = evenfold(&[&call[..], &["--json"]].concat());
    assert_eq!(json.status.code(), Some(3));
    let document = valid("sort", &stdout(&json));
    assert_eq!((document["status"].as_str(), document["ewes_over"].as_u64()), (Some("impossible"), Some(10)));
    assert_eq!(document["proved"], true);
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn unclear_dates_are_refused_until_somebody_says() {
    let rows: String = (1..9).map(|ewe| format!("E{ewe},2,3,0{ewe}/03/2027\n")).collect();
    let folder = written(
        "dates",
        &[
            ("flock.csv", &format!("tag,litter,condition,due\n{rows}")),
            ("pens.csv", "pen,trough_m,area_m2\nA,9,30\n"),
        ],
    );
    let (flock, pens) = (path(&folder, "flock.csv"), path(&folder, "pens.csv"));
    let call = ["sort", &flock, "--pens", &pens, "--on", "2027-02-01"];
    let asked = evenfold(&call);
    assert_eq!(asked.status.code(), Some(2));
    assert!(stderr(&asked).contains("--dates dmy"), "{}", stderr(&asked));
    let said = evenfold(&[&call[..], &["--dates", "dmy", "--json"]].concat());
    let document = valid("sort", &stdout(&said));
    assert_eq!(document["ewes"][4]["due"], "2027-03-05");
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn a_ewe_is_kept_by_hand_and_what_it_costs_is_said() {
    let free = valid("sort", &stdout(&demo(&["--json"])));
    let ewe = free["ewes"]
        .as_array()
        .unwrap()
        .iter()
        .find(|ewe| ewe["litter"] == 3 && ewe["age"] != "ewe_lamb")
        .unwrap();
    let other = if ewe["pen"] == "B" { "C" } else { "B" };
    let wish = format!("{}={other}", ewe["tag"].as_str().unwrap());
    let kept = valid("sort", &stdout(&demo(&["--json", "--keep", &wish])));
    let there = kept["ewes"].as_array().unwrap().iter().find(|found| found["tag"] == ewe["tag"]).unwrap();
    assert_eq!(there["pen"], other);
    let cost = kept["kept"][0]["costs_mj"].as_f64().unwrap();
    let change = kept["objective"].as_f64().unwrap() - free["objective"].as_f64().unwrap();
    assert!((cost - change.max(0.0)).abs() < 1e-6 * (1.0 + cost.abs()), "{cost} and {change}");
    let nowhere = demo(&["--json", "--keep", "nobody=B"]);
    let document = valid("sort", &stdout(&nowhere));
    assert!(document["problems"].as_array().unwrap().iter().any(|problem| problem["code"] == "cannot-keep"));
}

#[test]
fn a_need_comes_with_its_inputs_and_its_working() {
    // Wright and Genever 2016, in Vet Times 2017: 16.7 MJ for a 70 kg triplet ewe three weeks before lambing.
    let call =
        ["need", "--weight", "70", "--litter", "3", "--days-to-lambing", "21", "--standard", "afrc1993"];
    let document = valid("need", &stdout(&evenfold(&[&call[..], &["--json"]].concat())));
    assert!((document["me_mj_per_day"].as_f64().unwrap() - 16.7).abs() < 0.2);
    assert!(document["working"].as_array().unwrap().len() > 6);
    let words = stdout(&evenfold(&call));
    assert!(
        words.contains("16.7 MJ ME") && words.contains("AFRC 1993") && words.contains("floor"),
        "{words}"
    );
    let barren = evenfold(&["need", "--weight", "60", "--litter", "0"]);
    assert_eq!(barren.status.code(), Some(0));
    let refused = evenfold(&["need", "--weight", "20", "--litter", "2", "--days-to-lambing", "21"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("25 to 160 kg"), "{}", stderr(&refused));
}

#[test]
fn a_need_with_everything_asked_is_one_valid_document() {
    let call = [
        "need",
        "--weight",
        "82",
        "--with-lambs",
        "--litter",
        "2",
        "--service",
        "2026-10-20",
        "--on",
        "2027-02-26",
        "--standard",
        "inra2007",
        "--condition",
        "2.5",
        "--second-condition",
        "2.75",
        "--class-condition",
        "3",
        "--system",
        "upland",
        "--age",
        "shearling",
        "--housing",
        "lowland",
        "--shorn",
        "--wool",
        "7",
        "--forage",
        "hay",
        "--mature-weight",
        "72",
        "--kg-per-score",
        "0.15",
        "--mj-per-kg",
        "60",
        "--compare",
        "--sensitivity",
        "--intake",
    ];
    let document = valid("need", &stdout(&evenfold(&[&call[..], &["--json"]].concat())));
    assert_eq!(document["due"]["day"], "2027-03-15");
    assert_eq!(document["inputs"]["days_to_lambing"], 17);
    assert_eq!(document["compare"].as_array().unwrap().len(), 4);
    assert!(document["inputs"]["conceptus_kg"].as_f64().unwrap() > 6.0);
    let condition = &document["condition"];
    let (term, without) = (&condition["term_mj_per_day"], &condition["without_mj_per_day"]);
    let sum = term.as_f64().unwrap() + without.as_f64().unwrap();
    assert!((document["me_mj_per_day"].as_f64().unwrap() - sum).abs() < 1e-9);
    let words = stdout(&evenfold(&call));
    for part in [
        "UFL",
        "Due 15 March 2027",
        "nine times in ten",
        "Shorn",
        "Outdoors",
        "by every standard",
        "from memory",
        "HCC Wales",
        "A score is a measurement",
    ] {
        assert!(words.contains(part), "no '{part}' in:\n{words}");
    }
    let raddle = evenfold(&[
        "need",
        "--weight",
        "70",
        "--litter",
        "1",
        "--service",
        "2026-10-20",
        "--service-until",
        "2026-11-05",
        "--on",
        "2027-02-01",
        "--breed",
        "finn",
        "--json",
    ]);
    assert!(valid("need", &stdout(&raddle))["due"]["sd_days"].as_f64().unwrap() > 5.0);
    let unknown = evenfold(&[
        "need",
        "--weight",
        "70",
        "--litter",
        "1",
        "--service",
        "2026-10-20",
        "--on",
        "2027-02-01",
        "--breed",
        "unicorn",
        "--json",
    ]);
    assert_eq!(unknown.status.code(), Some(2));
    assert_eq!(valid("need", &stdout(&unknown))["problems"][0]["code"], "breed-unknown");
    let ewe = ["need", "--weight", "70", "--litter", "1", "--on", "2027-02-01", "--json"];
    for (more, input) in [
        (["--service", "2026-10-20", "--service-until", "2026-10-01"], "service-until"),
        (["--scanned", "2027-01-10", "--scanned-age", "170"], "scanned-age"),
        // Three years out: more days than a pregnancy has.
        (["--scanned", "2030-01-10", "--scanned-age", "80"], "days-to-lambing"),
    ] {
        let refused = evenfold(&[&ewe[..], &more].concat());
        assert_eq!(refused.status.code(), Some(2), "{}", stdout(&refused));
        assert_eq!(valid("need", &stdout(&refused))["problems"][0]["column"], input);
    }
    let overdue = evenfold(&[&ewe[..], &["--service", "2026-08-20"]].concat());
    let document = valid("need", &stdout(&overdue));
    assert_eq!(document["inputs"]["days_to_lambing"], 0);
    assert!(document["notes"][0].as_str().unwrap().starts_with("Past the day"));
}

#[test]
fn what_cannot_be_read_is_an_error_not_a_crash() {
    for call in [
        vec!["sort", "no-such-file.csv", "--pens", "data/example/pens.csv", "--on", "2027-02-01"],
        vec!["sort", "data/example/flock.csv", "--pens", "data/example/pens.csv", "--on", "1 February"],
        vec!["sort", "data/example/pens.csv", "--pens", "data/example/flock.csv", "--on", "2027-02-01"],
        vec!["sort", "Cargo.lock", "--pens", "Cargo.lock", "--on", "2027-02-01"],
        vec![],
    ] {
        let output = evenfold(&call);
        assert_eq!(output.status.code(), Some(2), "{call:?}: {}", stderr(&output));
        assert!(!stderr(&output).contains("panicked"), "{}", stderr(&output));
    }
}

/// What a shepherd may type wrongly about feeds, and what he is told.
#[test]
fn feeds_and_figures_that_cannot_be_are_told_in_farm_words() {
    let folder = written(
        "feed-words",
        &[
            ("sign.csv", "feed,like,price_per_t\ngs_good,,42\nnut18,,£312\n"),
            ("none.csv", "feed,price_per_t,stock_t\ngs_good,42,0\nnut18,312,\n"),
            (
                "wet.csv",
                "feed,like,price_per_t,analysed_on,dm_g_per_kg\nclamp,gs_good,42,2026-10-12,180\nnut18,,312,,\n",
            ),
        ],
    );
    let asked = |weight: &str, feeds: &str, more: &[&str]| {
        let base =
            ["ration", "--weight", weight, "--litter", "2", "--weeks-to-lambing", "3", "--feeds", feeds];
        let output = evenfold(&[&base, more].concat());
        (output.status.code(), format!("{}{}", stdout(&output), stderr(&output)))
    };
    let usual = "data/demo/feeds.csv";
    let own = |file: &str| path(&folder, file);
    for (weight, feeds, more, code, says) in [
        ("70kg", usual, &[][..], 2, "not a number: digits alone and a point, such as 70 or 3.5"),
        ("70", usual, &["--ewes", "some"], 2, "not a whole number"),
        ("154", usual, &[], 0, "154 lb would be 70 kg"),
        ("70", &own("sign.csv"), &[], 2, "in money a tonne and without its sign"),
        ("70", &own("none.csv"), &[], 3, "no forage that may be fed so is on the list and in store"),
        ("70", &own("none.csv"), &[], 3, "energy met, protein met, the rest costs"),
        ("70", &own("wet.csv"), &[], 0, "clamp is wet, 180 g DM a kg"),
        ("70", usual, &["--without", "barly"], 2, "--without: found 'barly'"),
        ("70", usual, &["--energy", "barly=12"], 2, "--energy: found 'barly'"),
    ] {
        let (found, text) = asked(weight, feeds, more);
        assert_eq!(found, Some(code), "{weight} {more:?}: {text}");
        assert!(text.contains(says), "{weight} {more:?}: {text}");
    }
}

/// Limestone costs pennies: a search that ends before it has come to it must not leave it out.
#[test]
fn a_small_hill_ewe_is_not_left_short_of_lime_that_is_on_the_farm() {
    let output = evenfold(&[
        "ration",
        "--weight",
        "45",
        "--litter",
        "1",
        "--weeks-to-lambing",
        "1",
        "--feeds",
        "data/demo/feeds.csv",
    ]);
    let text = stdout(&output);
    assert!(text.starts_with("The need is met"), "{text}");
    assert!(text.contains("Limestone flour") && !text.contains("\nShort"), "{text}");
}
