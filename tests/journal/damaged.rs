//! Files cut, garbled, doubled, of other programs and newer versions: never a panic, every whole line read, every
//! other named and kept.

use crate::common::scanning_day::scanning_day;
use crate::{enter, lambs, met, read_back, scanned};
use evenfold::farm::journal::Book;
use evenfold::io::{self, journal, write_journal};
use evenfold::journal::{Journal, Said};
use evenfold::problem::Severity;

const FIXTURE: &str = include_str!("v1/two-races.jsonl");

fn codes(bytes: &[u8]) -> Vec<String> {
    journal(bytes).problems.into_iter().map(|problem| problem.code).collect()
}

#[test]
fn cut_at_every_byte_every_whole_line_is_read() {
    let bytes = FIXTURE.as_bytes();
    for end in 0..=bytes.len() {
        let cut = &bytes[..end];
        let reading = journal(cut);
        // A line is whole from its last bracket on, whether its end follows or not.
        let whole = FIXTURE.lines().scan(0, |at, line| {
            let last = *at + line.len();
            *at = last + 1;
            Some(last)
        });
        let whole = whole.skip(1).filter(|last| *last <= end).count();
        assert_eq!(reading.entries.len(), whole, "cut at byte {end}");
        for problem in &reading.problems {
            assert!(problem.message.ends_with('.') && problem.hint.ends_with('.'), "{problem:?}");
        }
        let unread = reading.problems.iter().filter(|problem| problem.code == "line-unreadable").count();
        assert_eq!(unread, reading.unread.len());
        if let Some(problem) = reading.problems.iter().find(|problem| problem.code == "line-unreadable") {
            let line = cut.iter().filter(|byte| **byte == b'\n').count() + 1;
            assert_eq!(problem.row, Some(line as u32), "cut at byte {end}");
            assert!(problem.message == "The line is cut short.");
        }
    }
}

#[test]
fn garbled_anywhere_the_other_lines_are_read() {
    let lines = FIXTURE.lines().count();
    for at in (0..FIXTURE.len()).step_by(5) {
        for garbage in [0_u8, b'"', 0xFF, b'\n'] {
            let mut bytes = FIXTURE.as_bytes().to_vec();
            bytes[at] = garbage;
            let reading = journal(&bytes);
            assert!(reading.entries.len() + 2 >= lines - 1, "{garbage} at byte {at}");
            let mut journal = Journal::new();
            journal.take(reading.entries, reading.unread);
            write_journal(&journal);
        }
    }
}

#[test]
fn line_ends_marks_zeros_and_doubled_lines_change_nothing() {
    let plain = read_back(FIXTURE);
    let doubled = FIXTURE.lines().map(|line| format!("{line}\n{line}\n")).collect::<String>();
    let utf_16: Vec<u8> =
        [0xFF, 0xFE].into_iter().chain(FIXTURE.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let forms: [(&str, Vec<u8>); 7] = [
        ("CRLF", FIXTURE.replace('\n', "\r\n").into_bytes()),
        ("BOM", format!("\u{feff}{FIXTURE}").into_bytes()),
        ("doubled lines", doubled.into_bytes()),
        ("blank lines", FIXTURE.replace('\n', "\n\n  \n").into_bytes()),
        ("zeros at the end", format!("{FIXTURE}{}", "\0".repeat(4096)).into_bytes()),
        ("UTF-16", utf_16),
        ("two files in one", format!("{FIXTURE}{FIXTURE}").into_bytes()),
    ];
    for (name, bytes) in forms {
        let reading = journal(&bytes);
        assert!(reading.problems.is_empty(), "{name}: {:?}", reading.problems);
        let mut journal = Journal::new();
        journal.take(reading.entries, reading.unread);
        assert!(write_journal(&journal) == write_journal(&plain), "{name}");
    }
    // Without its first line, and with its lines in any order.
    let mut lines: Vec<&str> = FIXTURE.lines().skip(1).collect();
    lines.reverse();
    let reversed = read_back(&lines.join("\n"));
    assert!(write_journal(&reversed) == write_journal(&plain));
}

#[test]
fn a_damaged_line_is_named_by_its_number_kept_and_healed_by_another_copy() {
    let mut lines: Vec<String> = FIXTURE.lines().map(str::to_owned).collect();
    let whole = lines[4].clone();
    lines[4].truncate(whole.len() - 7);
    let text = lines.join("\n");
    let reading = journal(text.as_bytes());
    assert_eq!(reading.problems.len(), 1);
    let problem = &reading.problems[0];
    assert_eq!(
        (problem.row, problem.code.as_str(), problem.severity),
        (Some(5), "line-unreadable", Severity::Error)
    );
    assert_eq!(reading.entries.len(), lines.len() - 2);
    // It is written on, and read back as what it is: no event, no new fault, not lost.
    let damaged = read_back(&text);
    let written = write_journal(&damaged);
    assert!(codes(written.as_bytes()).is_empty());
    let mut again = read_back(&written);
    assert_eq!(again.unread().collect::<Vec<_>>(), [lines[4].as_str()]);
    assert_eq!(again.devices().map(|(_, _, missing)| missing).sum::<u64>(), 1);
    again.merge(&read_back(FIXTURE));
    assert_eq!(again.unread().count(), 0);
    assert!(write_journal(&again) == write_journal(&read_back(FIXTURE)));
}

#[test]
fn files_that_are_none_are_refused_and_take_nothing() {
    for bytes in [
        &b"tag,litter\n0417,2\n"[..],
        b"PK\x03\x04 a spreadsheet",
        b"%PDF-1.4",
        b"{\"format\": \"evenfold-state-1\",\n \"ewes\": []}",
        b"[1, 2, 3]",
        b"\xFF\x00\x13\x37\n\x80",
    ] {
        assert_eq!(codes(bytes), ["not-a-journal"], "{}", String::from_utf8_lossy(bytes));
        let mut book = Book::new();
        let reply = book.take(bytes);
        assert!(!reply.taken && reply.words == "Nothing was taken.");
        assert_eq!(book.file().lines().count(), 1);
    }
    for bytes in [&b""[..], b"\n\r\n", b"\xEF\xBB\xBF", b"\0\0\0"] {
        assert_eq!(codes(bytes), ["empty-file"]);
    }
    assert!(codes(write_journal(&Journal::new()).as_bytes()).is_empty(), "a new journal is no fault");
}

#[test]
fn what_a_newer_version_wrote_is_kept_to_the_byte() {
    let line = |sequence: u32, rest: &str| {
        format!(
            r#"{{"v":1,"id":"new-{sequence}","device":"new","sequence":{sequence},"at":[1799742600000,{sequence}],"day":"2027-01-12",{rest}}}"#
        )
    };
    let lines = [
        // A field more, in the event and in what it says; blanks; a figure as somebody wrote it.
        line(
            1,
            r#""mood" : "good",  "what":{"kind":"scanned","ewe":{"tag":"7"},"lambs":2,"by_ultrasound":1.50}"#,
        ),
        // A kind, a mark, and a litter that are not known here.
        line(2, r#""what":{"kind":"shorn","ewe":{"tag":"7"},"wool_kg":3.20}"#),
        line(3, r#""what":{"kind":"marked","ewe":{"tag":"7"},"mark":"woolly"}"#),
        line(4, r#""what":{"kind":"scanned","ewe":{"tag":"7"},"lambs":9}"#),
        line(5, r#""what":"nothing""#),
        line(6, r#""what":{"kind":"weighed","ewe":{"tag":"7"},"weight_kg":-3}"#),
        line(7, r#""what":{"kind":"noted","words":"é \u00e9 ☃"}"#),
        line(8, r#""what":{"kind":"scanned","ewe":{"tag":"7"},"lambs":3}"#).replace("\"v\":1", "\"v\":2"),
    ];
    let text = lines.join("\n");
    let first = read_back(&text);
    let written = write_journal(&first);
    for line in &lines {
        assert!(written.contains(&format!("{line}\n")), "{line}");
    }
    // Through another device, merged, and back.
    let mut other = Journal::new();
    enter(&mut other, 0, 0, met("8"));
    other.merge(&read_back(&written));
    for line in &lines {
        assert!(write_journal(&other).contains(&format!("{line}\n")), "{line}");
    }
    let unknown = |journal: &Journal| {
        journal.entries().filter(|entry| matches!(entry.event.said, Said::Unknown { .. })).count()
    };
    assert_eq!(unknown(&other), 6);
    // What is not understood does not count.
    assert_eq!(lambs(&other, "7"), Some(2));
    let mut book = Book::new();
    book.take(write_journal(&other).as_bytes());
    let problems = book.state().problems;
    let notes = problems.iter().filter(|problem| problem.code == "event-not-understood");
    assert_eq!(notes.filter(|problem| problem.severity == Severity::Note).count(), 6, "{problems:#?}");
    assert!(problems.iter().any(|problem| problem.message.contains("it is of version 2")));
    let newer = FIXTURE.replacen("evenfold-journal-1", "evenfold-journal-3", 1);
    assert_eq!(codes(newer.as_bytes()), ["journal-newer"]);
}

#[test]
fn two_contents_under_one_name_are_a_fault_and_both_are_kept() {
    let mut one = Journal::new();
    enter(&mut one, 0, 0, scanned("7", 1));
    let mut other = Journal::new();
    enter(&mut other, 0, 5, scanned("7", 2));
    let (mut first, mut second) = (one.clone(), other.clone());
    first.merge(&other);
    second.merge(&one);
    assert!(write_journal(&first) == write_journal(&second));
    assert_eq!((first.len(), first.clashes().count()), (2, 1));
    assert_eq!((lambs(&first, "7"), lambs(&second, "7")), (Some(1), Some(1)));
    let read = read_back(&write_journal(&first));
    assert_eq!(read.clashes().count(), 1);
    assert!(read.state() == first.state());
    let mut book = Book::new();
    book.take(write_journal(&first).as_bytes());
    assert_eq!((book.doubts()[0].code.as_str(), book.doubts()[0].severity), ("event-twice", Severity::Error));
}

#[test]
fn one_content_in_other_bytes_is_no_fault() {
    let mut one = Journal::new();
    let entry = enter(&mut one, 0, 0, scanned("7", 1));
    let value: serde_json::Value = serde_json::from_str(&entry.line).unwrap();
    let other = serde_json::to_string(&value).unwrap();
    assert_ne!(other, entry.line);
    let (forth, back) = (format!("{}\n{other}", entry.line), format!("{other}\n{}", entry.line));
    let (forth, back) = (read_back(&forth), read_back(&back));
    assert_eq!((forth.len(), forth.clashes().count()), (1, 0));
    assert!(write_journal(&forth) == write_journal(&back));
}

#[test]
fn letters_of_another_encoding_cost_nothing_but_a_note() {
    let mut one = Journal::new();
    enter(&mut one, 0, 0, met("é7"));
    let bytes: Vec<u8> = write_journal(&one).chars().map(|letter| letter as u32 as u8).collect();
    let reading = io::journal(&bytes);
    assert_eq!(
        reading.problems.iter().map(|p| p.code.as_str()).collect::<Vec<_>>(),
        ["read-as-windows-1252"]
    );
    assert_eq!(reading.entries[0].line, one.entries().next().unwrap().line);
}

#[test]
fn hostile_lines_end() {
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    let wide = format!(r#"{{"v":1,"id":"{}-1"}}"#, "x".repeat(1_000_000));
    let large = r#"{"v":1,"id":"t-1","device":"t","sequence":1,"at":[18446744073709551615,4294967295],"day":"2027-01-12","what":{"kind":"noted","words":"x"}}"#;
    let last = r#"{"v":1,"id":"t-9007199254740991","device":"t","sequence":9007199254740991,"at":[253402300799999,4294967295],"day":"9999-12-31","what":{"kind":"noted","words":"x"}}"#;
    let text = [&deep, &wide, large, last].join("\n");
    let mut journal = read_back(&text);
    assert_eq!((journal.len(), journal.unread().count()), (1, 3));
    // After the last number and the last stamp that there are, nothing traps.
    enter(&mut journal, 0, 0, met("1"));
    let at = crate::common::scanning_day::entering(0, 0);
    journal.append(&evenfold::journal::Entering { device: "t".to_owned(), ..at }, vec![met("2")]);
    let read = read_back(&write_journal(&journal));
    assert!(read.len() >= 2);
    let [a, b] = scanning_day(1, 5);
    journal.merge(&a);
    journal.merge(&b);
}
