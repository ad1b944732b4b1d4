//! House rules on the engine's source that the compiler does not check: who may import whom, no clock,
//! short files, no loose ends, and a source beside every coefficient.
//!
//! The rules are the two tables at the top. Test code is exempt from the directions.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What each top module may import of ours, beside itself. A module without a line may import nothing.
const ALLOWED: [(&str, &[&str]); 16] = [
    ("arrange", &[]),
    ("quantity", &["problem"]),
    ("day", &["problem"]),
    ("problem", &[]),
    ("flock", VOCABULARY),
    ("pen", &["quantity", "day", "problem", "flock"]),
    ("feed", VOCABULARY),
    ("requirement", &["quantity", "day", "problem", "flock"]),
    ("solve", &["arrange", "problem"]),
    ("sort", &["arrange", "quantity", "day", "problem", "flock", "pen", "requirement", "solve"]),
    ("journal", &["arrange", "quantity", "day", "problem", "flock", "pen"]),
    ("ration", &["arrange", "quantity", "day", "problem", "flock", "feed", "requirement", "solve"]),
    ("io", &["arrange", "quantity", "day", "problem", "flock", "pen", "journal", "feed"]),
    (
        "farm",
        &[
            "arrange",
            "quantity",
            "day",
            "problem",
            "flock",
            "pen",
            "feed",
            "requirement",
            "solve",
            "sort",
            "journal",
            "ration",
            "io",
        ],
    ),
    ("cli", &["quantity", "day", "problem", "flock", "pen", "io", "farm"]),
    ("wasm", &["farm", "problem"]),
];
const VOCABULARY: &[&str] = &["quantity", "day", "problem"];
/// They say which modules there are, and import what they like.
const FREE: [&str; 2] = ["main", "lib"];
const LONGEST_FILE: usize = 800;

#[test]
fn the_engine_keeps_the_house_rules() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    collect(&source, &mut files);
    assert!(files.len() > 10, "the walk found only {} files", files.len());
    let mut faults = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("source files are readable text");
        let name = file.strip_prefix(&source).expect("the walk stays in src");
        faults.extend(faults_of(name, &text));
    }
    assert!(faults.is_empty(), "\n{}\n", faults.join("\n"));
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).expect("source folders are readable");
    let mut paths: Vec<_> = entries.map(|entry| entry.expect("entries are readable").path()).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
}

/// The faults of a file, named by its path within `src`.
fn faults_of(name: &Path, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let parts = module_path(name);
    let lines = text.lines().count();
    if lines > LONGEST_FILE {
        faults.push(format!("{lines} lines; {LONGEST_FILE} are the most"));
    }
    for (number, line) in (1..).zip(text.lines()) {
        let issue =
            line.split('#').skip(1).any(|rest| rest.starts_with(|letter: char| letter.is_ascii_digit()));
        if line.contains("TODO") && !issue {
            faults.push(format!("line {number}: a TODO without the number of its issue"));
        }
    }
    // Where the tests of a module are a file of their own, all of it is test code.
    if parts.last().is_some_and(|last| last == "tests") {
        return named(name, faults);
    }
    let code = without_tests(&code_alone(text));
    for word in ["SystemTime", "Instant"] {
        if words(&code).any(|found| found == word) {
            faults.push(format!("{word}: the engine reads no clock"));
        }
    }
    let top = parts[0].as_str();
    if !FREE.contains(&top) {
        let allowed =
            ALLOWED.iter().find(|(module, _)| *module == top).map_or(&[][..], |(_, allowed)| allowed);
        for import in imports(&code, parts.len()) {
            if import != top && !allowed.contains(&import.as_str()) {
                faults.push(format!("`{top}` must not import `{import}`"));
            }
        }
    }
    if ["requirement", "feed", "ration"].contains(&top) {
        faults.extend(constants_without_source(text, &code));
    }
    named(name, faults)
}

fn named(name: &Path, faults: Vec<String>) -> Vec<String> {
    faults.into_iter().map(|fault| format!("src/{}: {fault}", name.display())).collect()
}

/// `sort/seed.rs` is `[sort, seed]`; `sort/mod.rs` is `[sort]`.
fn module_path(name: &Path) -> Vec<String> {
    let plain = name.with_extension("");
    let mut parts: Vec<_> = plain.iter().map(|part| part.to_string_lossy().into_owned()).collect();
    if parts.len() > 1 && parts.last().is_some_and(|last| last == "mod") {
        parts.pop();
    }
    parts
}

/// The same text with comments and the insides of literals blanked; lines and columns stay.
fn code_alone(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut code = bytes.to_vec();
    let mut at = 0;
    while at < bytes.len() {
        let end = literal_end(bytes, at);
        for byte in &mut code[at..end] {
            if *byte != b'\n' {
                *byte = b' ';
            }
        }
        at = end.max(at + 1);
    }
    String::from_utf8(code).expect("literals and comments are blanked whole")
}

/// Where the comment or literal that starts at `at` ends; `at` itself where none starts there.
fn literal_end(bytes: &[u8], at: usize) -> usize {
    let rest = &bytes[at..];
    let until = |mark: &[u8], from: usize| {
        let found = rest[from.min(rest.len())..].windows(mark.len()).position(|window| window == mark);
        found.map_or(bytes.len(), |found| at + from + found)
    };
    let after_word = at > 0 && (bytes[at - 1].is_ascii_alphanumeric() || bytes[at - 1] == b'_');
    if rest.starts_with(b"//") {
        until(b"\n", 2)
    } else if rest.starts_with(b"/*") {
        (until(b"*/", 2) + 2).min(bytes.len())
    } else if !after_word && (rest.starts_with(b"r\"") || rest.starts_with(b"r#")) {
        let hashes = rest[1..].iter().take_while(|byte| **byte == b'#').count();
        if rest.get(1 + hashes) != Some(&b'"') {
            return at;
        }
        let mark = [b"\"".as_slice(), &vec![b'#'; hashes]].concat();
        (until(&mark, hashes + 2) + mark.len()).min(bytes.len())
    } else if rest[0] == b'"' {
        closing(bytes, at, b'"')
    } else if rest[0] == b'\'' && (rest.get(1) == Some(&b'\\') || char_then_quote(rest)) {
        closing(bytes, at, b'\'')
    } else {
        at
    }
}

/// Whether this is a character such as 'a' and not a lifetime.
fn char_then_quote(rest: &[u8]) -> bool {
    let width = match rest.get(1) {
        Some(0xF0..) => 4,
        Some(0xE0..) => 3,
        Some(0xC0..) => 2,
        _ => 1,
    };
    rest.get(1 + width) == Some(&b'\'')
}

fn closing(bytes: &[u8], start: usize, quote: u8) -> usize {
    let mut at = start + 1;
    while at < bytes.len() && bytes[at] != quote {
        at += if bytes[at] == b'\\' { 2 } else { 1 };
    }
    (at + 1).min(bytes.len())
}

/// Blanks every item under `#[cfg(test)]`: to its closing brace, or its semicolon where that comes first.
fn without_tests(code: &str) -> String {
    const MARK: &str = "#[cfg(test)]";
    let mut bytes = code.as_bytes().to_vec();
    let mut from = 0;
    while let Some(found) = code[from..].find(MARK).map(|found| from + found) {
        let mut depth = 0;
        let mut end = found + MARK.len();
        while let Some(byte) = code.as_bytes().get(end) {
            end += 1;
            depth += i32::from(*byte == b'{') - i32::from(*byte == b'}');
            if depth == 0 && matches!(byte, b'}' | b';') {
                break;
            }
        }
        bytes[found..end].iter_mut().filter(|byte| **byte != b'\n').for_each(|byte| *byte = b' ');
        from = end;
    }
    String::from_utf8(bytes).expect("whole items are blanked")
}

fn words(code: &str) -> impl Iterator<Item = &str> {
    code.split(|letter: char| !letter.is_alphanumeric() && letter != '_').filter(|word| !word.is_empty())
}

/// The top modules that code `depth` modules deep names through `crate::` or enough `super::`s.
fn imports(code: &str, depth: usize) -> BTreeSet<String> {
    let code: String =
        code.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ::", "::").replace(":: ", "::");
    let mut found = BTreeSet::new();
    for root in ["crate::".to_owned(), "super::".repeat(depth)] {
        for (at, _) in code.match_indices(&root) {
            let joined =
                code[..at].ends_with(|before: char| before.is_alphanumeric() || "_:$".contains(before));
            if !joined {
                first_names(&code[at + root.len()..], &mut found);
            }
        }
    }
    found.remove("super");
    found
}

/// The first name after a path's root, or the first names in its braces.
fn first_names(rest: &str, found: &mut BTreeSet<String>) {
    let Some(group) = rest.strip_prefix('{') else {
        found.extend(words(rest).next().map(str::to_owned));
        return;
    };
    let (mut depth, mut fresh) = (0, true);
    for (at, letter) in group.char_indices() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            ',' if depth == 0 => fresh = true,
            _ if fresh && depth == 0 && !letter.is_whitespace() => {
                found.extend(words(&group[at..]).next().map(str::to_owned));
                fresh = false;
            }
            _ => {}
        }
    }
}

/// Figures in `requirement` whose comment names no source. Constants of text carry no figure.
fn constants_without_source(text: &str, code: &str) -> Vec<String> {
    let lines: Vec<&str> = text.lines().collect();
    let mut faults = Vec::new();
    for (number, line) in code.lines().enumerate() {
        let mut found = words(line).skip_while(|word| *word != "const").skip(1);
        let Some(name) = found.next().filter(|name| name.starts_with(|letter: char| letter.is_uppercase()))
        else {
            continue;
        };
        if !line.contains(&format!("const {name}:")) || line.contains(&format!("const {name}: &str")) {
            continue;
        }
        let above = lines[..number].iter().rev().map(|line| line.trim());
        let mut comment: Vec<&str> =
            above.take_while(|line| line.starts_with("///") || line.starts_with("#[")).collect();
        comment.reverse();
        let comment: String =
            comment.iter().map(|line| line.trim_start_matches("///").trim()).collect::<Vec<_>>().join(" ");
        if !names_a_source(&comment) {
            faults.push(format!("line {}: the comment of {name} names no source", number + 1));
        }
    }
    faults
}

/// A year, or the plain admission that there is none.
fn names_a_source(comment: &str) -> bool {
    let year = |word: &str| {
        word.len() == 4 && word.parse::<u32>().is_ok() && (word.starts_with("19") || word.starts_with("20"))
    };
    comment.contains("common practice, no source")
        || comment.contains("from memory")
        || words(comment).any(|word| word == "fitted" || word == "Fitted")
        || words(comment).any(year)
}

mod the_checker_itself {
    use super::{code_alone, faults_of, imports, without_tests};
    use std::path::Path;

    #[track_caller]
    fn check(name: &str, text: &str, expected: &[&str]) {
        let faults = faults_of(Path::new(name), text);
        let expected: Vec<String> = expected.iter().map(|fault| format!("src/{name}: {fault}")).collect();
        assert_eq!(faults, expected);
    }

    #[test]
    fn a_planted_import_is_caught_however_it_is_written() {
        let bad = &["`solve` must not import `flock`"];
        check("solve/split.rs", "use crate::flock::Ewe;\n", bad);
        check("solve/split.rs", "fn f() { let x = crate::flock::Ewe::new(); }\n", bad);
        check("solve/split.rs", "use crate::{problem::Problem, flock::{Due, Ewe}};\n", bad);
        check("solve/split.rs", "use crate::{\n    problem::{self, Problem},\n    flock,\n};\n", bad);
        check("solve/split.rs", "use super::super::flock::Ewe;\n", bad);
        check("solve/mod.rs", "pub use super::flock::Ewe;\n", bad);
        check("solve/mod.rs", "fn f(x: crate :: flock :: Ewe) {}\n", bad);
        check(
            "solve/split.rs",
            "/// 'a' \"b\nfn f<'a>(x: &'a str) -> char { '\"' }\nuse crate::flock;\n",
            bad,
        );
        check("farm/mod.rs", "use crate::cli::run;\n", &["`farm` must not import `cli`"]);
        check("io/mod.rs", "use crate::sort::plan;\n", &["`io` must not import `sort`"]);
        check("novel.rs", "use crate::day::Day;\n", &["`novel` must not import `day`"]);
    }

    #[test]
    fn what_is_allowed_or_no_import_passes() {
        check("solve/split.rs", "use crate::problem::Problem;\nuse crate::solve::status::Status;\n", &[]);
        check("solve/split.rs", "use super::flock_of_numbers;\nuse super::{a, b};\n", &[]);
        check(
            "solve/split.rs",
            "// use crate::flock;\n/* crate::flock */\nconst X: &str = \"crate::flock\";\n",
            &[],
        );
        check("solve/split.rs", "const X: &str = r#\"crate::flock \" \"#; // crate::flock\n", &[]);
        check(
            "solve/split.rs",
            "#[cfg(test)]\nmod tests {\n    use crate::flock::Ewe;\n}\nuse crate::problem;\n",
            &[],
        );
        check("solve/tests.rs", "use crate::flock::Ewe;\n", &[]);
        check("main.rs", "use evenfold::cli;\n", &[]);
    }

    #[test]
    fn code_after_test_code_is_still_seen() {
        let code = "#[cfg(test)]\nmod tests;\nuse crate::pen;\n#[cfg(test)]\nmod more { fn f() { {} } }\nuse crate::io;\n";
        let seen: Vec<_> = imports(&without_tests(&code_alone(code)), 2).into_iter().collect();
        assert_eq!(seen, ["io", "pen"]);
    }

    #[test]
    fn clocks_loose_ends_and_long_files_are_caught() {
        check("day.rs", "use std::time::SystemTime;\n", &["SystemTime: the engine reads no clock"]);
        check("day.rs", "/// Not an Instant.\nfn f() {}\n", &[]);
        check("day.rs", "// TODO later\n", &["line 1: a TODO without the number of its issue"]);
        check("day.rs", "// TODO #12: later\n", &[]);
        check("day.rs", &"\n".repeat(801), &["801 lines; 800 are the most"]);
    }

    #[test]
    fn a_coefficient_without_its_source_is_caught() {
        let bad = &["line 2: the comment of K names no source"];
        check("requirement/a.rs", "/// Efficiency.\npub const K: f64 = 0.6;\n", bad);
        check("requirement/a.rs", "/// Efficiency, 12019 of them.\nconst K: f64 = 0.6;\n", bad);
        check("requirement/a.rs", "\nconst K: f64 = 0.6;\n", bad);
        check(
            "requirement/a.rs",
            "/// Efficiency (Someone 1993).\n#[rustfmt::skip]\nconst K: f64 = 0.6;\n",
            &[],
        );
        check(
            "requirement/a.rs",
            "/// Common sense; common practice,\n/// no source.\npub(super) const K: f64 = 0.6;\n",
            &[],
        );
        check("requirement/a.rs", "/// Its share. Fitted.\nconst K: f64 = 0.6;\n", &[]);
        check("requirement/a.rs", "/// Its refitted share.\nconst K: f64 = 0.6;\n", bad);
        check("requirement/a.rs", "/// Its name.\nconst NAME: &str = \"x\";\npub const fn f() {}\n", &[]);
        check("sort/a.rs", "const K: f64 = 0.6;\n", &[]);
    }
}
