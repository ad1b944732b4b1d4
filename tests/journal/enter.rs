//! What is entered, asked, refused, undone.

use crate::common::Dice;
use crate::common::scanning_day::{START_MS, card, eid};
use crate::{met, scanned, scored, tag};
use evenfold::farm::journal::{AppendReply, AppendRequest, Book, Changed, Now, UndoRequest};
use evenfold::journal::{Mark, Name, PenRow, What};

fn now(minutes: u64) -> Now {
    Now { ms: START_MS + minutes * 60_000, offset_minutes: 0 }
}

fn request(minutes: u64, what: Vec<What>) -> AppendRequest {
    AppendRequest {
        device: "t".to_owned(),
        now: now(minutes),
        by: Some("Ann".to_owned()),
        day: None,
        what,
        sure: false,
    }
}

fn entered(reply: AppendReply) -> (Vec<String>, Changed) {
    match reply {
        AppendReply::Appended { lines, changed, .. } => {
            (lines.into_iter().map(|line| line.line).collect(), changed)
        }
        other => panic!("{other:?}"),
    }
}

fn asked(reply: AppendReply) -> Vec<String> {
    match reply {
        AppendReply::Asked { questions } => questions.into_iter().map(|problem| problem.code).collect(),
        other => panic!("{other:?}"),
    }
}

fn refused(reply: AppendReply) -> Vec<String> {
    match reply {
        AppendReply::Refused { problems } => problems.into_iter().map(|problem| problem.code).collect(),
        other => panic!("{other:?}"),
    }
}

/// The state without what an undo must leave: that there were events.
fn state(book: &Book) -> String {
    let mut state = serde_json::to_value(book.state()).unwrap();
    for field in ["events", "devices"] {
        state.as_object_mut().unwrap().remove(field);
    }
    state.to_string()
}

#[test]
fn a_card_is_one_act_and_the_reply_says_what_is_otherwise() {
    let mut book = Book::new();
    let (lines, changed) =
        entered(book.append(request(0, vec![met("0417"), scanned("0417", 2), scored("0417", 2.75)])));
    assert_eq!(lines.len(), 3);
    assert_eq!(
        lines[1],
        r#"{"v":1,"id":"t-2","device":"t","sequence":2,"at":[1799742600000,1],"clock":"2027-01-12T08:30:00+00:00","day":"2027-01-12","by":"Ann","act":"t-1","what":{"kind":"scanned","ewe":{"tag":"0417"},"lambs":2}}"#
    );
    assert_eq!(changed.ewes.len(), 1);
    let tally = book.state().tally;
    assert_eq!((tally.ewes, tally.lambs), (1, 2));
    assert_eq!(changed.ewes[0].condition.as_ref().unwrap().score.units(), 2.75);
    // The lines stored are the journal.
    let mut stored = Book::new();
    stored.take(lines.join("\n").as_bytes());
    assert_eq!(stored.file(), book.file());
    assert_eq!(stored.state(), book.state());
    let history = book.history(5);
    assert_eq!(history.len(), 1);
    assert_eq!(history[0].words, "0417: met, scanned twins, condition 2.75");
    assert_eq!((history[0].time.as_deref(), history[0].by.as_str()), (Some("08:30"), "Ann"));
}

#[test]
fn a_second_reading_today_is_asked_about_and_another_day_is_not() {
    let mut book = Book::new();
    entered(book.append(request(0, vec![scanned("7", 2)])));
    let again = request(5, vec![scanned("7", 3)]);
    let AppendReply::Asked { questions } = book.append(again.clone()) else { panic!("not asked") };
    assert_eq!(
        questions[0].message,
        "7 was read today already: twins by Ann on this tablet at 08:30; now triplets."
    );
    entered(book.append(AppendRequest { sure: true, ..again }));
    assert_eq!(book.state().ewes[0].scanned.as_ref().unwrap().lambs.lambs(), 3);
    entered(book.append(request(6, vec![scanned("7", 3)])));
    entered(book.append(request(1500, vec![scanned("7", 2)])));
}

#[test]
fn what_hardly_ever_is_is_asked_and_what_cannot_be_is_refused() {
    let mut book = Book::new();
    let weighed = |weight_kg| vec![What::Weighed { ewe: tag("7"), weight_kg }];
    entered(book.append(request(0, weighed(72.5))));
    assert_eq!(asked(book.append(request(1440, weighed(8.0)))), ["out-of-range"]);
    assert_eq!(asked(book.append(request(1440, weighed(140.0)))), ["unlikely"]);
    entered(book.append(AppendRequest { sure: true, ..request(1440, weighed(8.0)) }));
    for figure in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert_eq!(refused(book.append(request(1440, weighed(figure)))), ["entry-cannot-be"]);
    }
    assert_eq!(refused(book.append(request(0, Vec::new()))), ["nothing-entered"]);
    let unnamed = AppendRequest { device: "my tablet".to_owned(), ..request(0, vec![met("1")]) };
    assert_eq!(refused(book.append(unnamed)), ["device-name"]);
    let neither = What::EweMet { eid: None, tag: None, read: None };
    assert_eq!(refused(book.append(request(0, vec![neither]))), ["entry-cannot-be"]);
    let undo = What::Undone { events: vec!["t-99".to_owned().try_into().unwrap()] };
    assert_eq!(refused(book.append(request(0, vec![undo]))), ["nothing-to-undo"]);
    let settle = What::Settled {
        ewe: tag("7"),
        holds: "t-1".to_owned().try_into().unwrap(),
        over: vec!["t-98".to_owned().try_into().unwrap()],
    };
    assert_eq!(refused(book.append(request(0, vec![settle]))), ["not-a-reading"]);
}

#[test]
fn a_name_that_is_another_ewes_is_asked_about() {
    let mut book = Book::new();
    let both =
        |number, tag: &str| What::EweMet { eid: Some(eid(number)), tag: Some(tag.to_owned()), read: None };
    entered(book.append(request(0, vec![both(1, "0417")])));
    entered(book.append(request(1, vec![met("0500")])));
    // Attaching a new identifier to a tag alone, and meeting her again, are no question.
    entered(book.append(request(2, vec![both(2, "0500")])));
    entered(book.append(request(3, vec![both(2, "0500")])));
    assert_eq!(asked(book.append(request(4, vec![both(3, "0417")]))), ["name-taken"]);
    let set = |ewe: Name, number: Option<usize>, to: Option<&str>| What::IdentitySet {
        ewe,
        eid: number.map(eid),
        tag: to.map(str::to_owned),
    };
    assert_eq!(asked(book.append(request(5, vec![set(tag("0500"), Some(1), None)]))), ["name-taken"]);
    assert_eq!(asked(book.append(request(6, vec![set(tag("0500"), None, Some("0417"))]))), ["name-taken"]);
    entered(book.append(request(7, vec![set(tag("0500"), None, Some("0501"))])));
}

#[test]
fn a_pen_is_checked_as_its_file_would_be() {
    let mut book = Book::new();
    let pen = |pen: &str, trough_m, places| {
        What::PenDescribed(PenRow {
            pen: pen.to_owned(),
            trough_m,
            places,
            area_m2: 100.0,
            feeding: None,
            floor: None,
            blocked_corners: None,
            only: Vec::new(),
            not: Vec::new(),
            max_head: None,
        })
    };
    assert_eq!(refused(book.append(request(0, vec![pen("A", None, None)]))), ["face-missing"]);
    assert_eq!(refused(book.append(request(0, vec![pen("A", Some(9.0), Some(9))]))), ["face-twice"]);
    entered(book.append(request(0, vec![pen("A", Some(9.0), None)])));
    let given = |pen: &str| vec![What::PenGiven { ewe: tag("7"), pen: pen.to_owned(), advised: None }];
    assert_eq!(asked(book.append(request(1, given("B")))), ["pen-unknown"]);
    let (_, changed) = entered(book.append(request(1, given("A"))));
    assert_eq!(changed.ewes[0].pen.as_ref().unwrap().pen, "A");
    assert_eq!(book.state().pens[0].ewes, 1);
}

#[test]
fn an_act_is_undone_whole_and_brought_back() {
    let mut book = Book::new();
    let before = state(&book);
    entered(book.append(request(0, vec![met("7"), scanned("7", 2), scored("7", 3.0)])));
    let after = state(&book);
    let undo = |minutes, act: &str| UndoRequest {
        device: "t".to_owned(),
        now: now(minutes),
        by: None,
        act: act.to_owned(),
    };
    let (lines, _) = entered(book.undo(&undo(1, "t-1")));
    assert_eq!(lines.len(), 1);
    assert_eq!(state(&book), before);
    assert!(book.history(9)[0].undone && book.history(9).len() == 1);
    entered(book.undo(&undo(2, "t-1")));
    assert_eq!(state(&book), after);
    assert_eq!(book.state().tally.ewes, 1);
    entered(book.undo(&undo(3, "t-1")));
    assert_eq!(state(&book), before);
    assert_eq!(book.size().0, 6, "nothing is ever taken out");
    for wrong in ["t-77", "7", ""] {
        assert_eq!(refused(book.undo(&undo(4, wrong))), ["nothing-to-undo"]);
    }
}

#[test]
fn one_event_of_an_act_may_be_undone_by_itself() {
    let mut book = Book::new();
    let lame = What::Marked { ewe: tag("7"), mark: Mark::Lame, words: None };
    entered(book.append(request(0, vec![met("7"), scanned("7", 2), lame])));
    let undo = What::Undone { events: vec!["t-3".to_owned().try_into().unwrap()] };
    let (_, changed) = entered(book.append(request(1, vec![undo])));
    assert!(changed.ewes[0].marks.is_empty() && changed.ewes[0].scanned.is_some());
}

/// Fifty acts undone one by one, each giving the state that was before it; then all brought back.
#[test]
fn fifty_acts_undone_one_by_one_are_the_start() {
    let mut dice = Dice(5);
    let mut book = Book::new();
    let mut states = vec![state(&book)];
    let mut acts = Vec::new();
    for number in 0..50_u64 {
        let next = book.state().devices.first().map_or(0, |device| device.last) + 1;
        acts.push(format!("t-{next}"));
        let ewe = dice.below(20);
        let what = card(&mut dice, ewe);
        entered(book.append(AppendRequest { sure: true, ..request(number, what) }));
        states.push(state(&book));
    }
    let undo = |minutes, act: &String| UndoRequest {
        device: "t".to_owned(),
        now: now(minutes),
        by: None,
        act: act.clone(),
    };
    for (act, before) in acts.iter().zip(&states).rev() {
        entered(book.undo(&undo(100, act)));
        assert!(state(&book) == *before, "{act}");
    }
    for (act, after) in acts.iter().zip(states.iter().skip(1)) {
        entered(book.undo(&undo(200, act)));
        assert!(state(&book) == *after, "{act}");
    }
    let history = book.history(20);
    assert_eq!(history.len(), 20);
    assert_eq!(history[0].act, *acts.last().unwrap());
}

#[test]
fn advice_is_kept_as_it_was_shown_and_overruling_it_is_seen() {
    let mut book = Book::new();
    let given = What::PenGiven {
        ewe: tag("7"),
        pen: "B".to_owned(),
        advised: Some(evenfold::journal::Advice { pen: "A".to_owned(), words: "Thin twins.".to_owned() }),
    };
    let (_, changed) = entered(book.append(request(0, vec![given])));
    let pen = changed.ewes[0].pen.as_ref().unwrap();
    assert_eq!((pen.pen.as_str(), pen.overruled), ("B", true));
    assert_eq!(pen.advised.as_ref().unwrap().words, "Thin twins.");
    assert_eq!(book.history(1)[0].words, "7: pen B, where pen A was advised");
}
