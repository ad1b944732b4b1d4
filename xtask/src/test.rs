//! Everything that must hold before a change is taken, step by step.

use crate::run::{Outcome, answer, cargo, node, now, npm, packages, program, run, run_and_keep};
use crate::{app, tidy, types, wasm};
use std::path::PathBuf;
use std::process::Command;

/// How many tests ended how.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
struct Counts {
    passed: u32,
    failed: u32,
    skipped: u32,
}

/// A step: what it found, and whether it went well.
type Step = fn() -> (Counts, Outcome);

/// The steps in their order: name, purpose, work. Later ones use what earlier ones built.
const STEPS: [(&str, &str, Step); 14] = [
    ("fmt", "Rust is formatted", || quiet(run(&mut cargo(&["fmt", "--all", "--check"])))),
    ("clippy", "no lint is broken, natively", || {
        quiet(run(&mut cargo(&["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"])))
    }),
    ("clippy-wasm", "no lint is broken in what only the page uses", || quiet(clippy_wasm())),
    ("rust", "every Rust test", || counted(cargo(&["test", "--workspace", "--no-fail-fast"]), cargo_counts)),
    ("engine", "the engine builds as WebAssembly", || quiet(wasm::build())),
    ("types", "the page's types are those of the engine", || quiet(types::check())),
    ("parity", "native and WebAssembly give the same answers, byte for byte", || script("tests/parity.mjs")),
    ("packages", "the page's packages install", || quiet(node().and_then(|()| packages()))),
    ("solver", "middling problems against a general-purpose solver", || script("tests/highs.mjs")),
    ("programmes", "linear programmes against a general-purpose solver", || script("tests/programmes.mjs")),
    ("page-check", "the page's types and lints", || quiet(run(&mut npm(&["run", "check"])))),
    ("page", "the page builds as one file", || quiet(app::page())),
    ("browser", "the page in a browser", browser),
    ("tidy", "house rules", || quiet(tidy::check())),
];

/// Says which steps there are.
pub fn list() {
    for (name, purpose, _) in STEPS {
        println!("{name:12} {purpose}");
    }
}

/// Runs the steps named, or all, up to the first that fails. The last line counts the tests.
pub fn test(only: Option<&str>) -> Outcome {
    let names: Option<Vec<&str>> = only.map(|only| only.split(',').collect());
    let unknown = |name: &&&str| !STEPS.iter().any(|(step, ..)| step == *name);
    if let Some(name) = names.iter().flatten().find(unknown) {
        return Err(format!("there is no step `{name}`; `cargo xtask test --list` names them"));
    }
    let wanted = |name: &str| names.as_ref().is_none_or(|names| names.contains(&name));
    let mut total = Counts::default();
    let mut summary = Vec::new();
    let mut failure = None;
    for (name, purpose, step) in STEPS.iter().filter(|(name, ..)| wanted(name)) {
        if failure.is_some() {
            summary.push(format!("{name:12}    not run"));
            continue;
        }
        println!("── {name}: {purpose}");
        let start = now();
        let (counts, outcome) = step();
        let seconds = start.elapsed().as_secs_f64();
        total.passed += counts.passed;
        total.failed += counts.failed;
        total.skipped += counts.skipped;
        let end = if outcome.is_ok() { "ok" } else { "FAILED" };
        let tests = if counts == Counts::default() { String::new() } else { format!(": {}", counts.words()) };
        println!("── {name}: {end} after {seconds:.1} s");
        summary.push(format!("{name:12} {seconds:6.1} s  {end}{tests}"));
        if let Err(message) = outcome {
            // A step that fails without a failed test is itself one.
            total.failed += u32::from(counts.failed == 0);
            failure = Some(format!("{name}: {message}"));
        }
    }
    println!("\n{}\n", summary.join("\n"));
    if let Some(message) = &failure {
        println!("{message}\n");
    }
    println!("{}", total.words());
    // Everything has been said: the last line stands alone.
    if failure.is_some() { Err(String::new()) } else { Ok(()) }
}

impl Counts {
    fn words(self) -> String {
        let skipped = if self.skipped > 0 { format!(", {} skipped", self.skipped) } else { String::new() };
        format!("{} passed, {} failed{skipped}", self.passed, self.failed)
    }
}

fn quiet(outcome: Outcome) -> (Counts, Outcome) {
    (Counts::default(), outcome)
}

/// Runs a program that runs tests. One that runs none has failed too.
fn counted(mut command: Command, count: fn(&str) -> Counts) -> (Counts, Outcome) {
    let (text, outcome) = run_and_keep(&mut command);
    let counts = count(&text);
    let none = || Err("no test was run".to_owned());
    let some = || Err(format!("{} tests failed", counts.failed));
    let outcome = outcome.and_then(|()| match counts {
        Counts { failed: 1.., .. } => some(),
        Counts { passed: 0, .. } => none(),
        _ => Ok(()),
    });
    (counts, outcome)
}

fn clippy_wasm() -> Outcome {
    wasm::target()?;
    // In the release profile, so that this and the build share what they compile for this machine.
    run(&mut cargo(&["clippy", "--release", "--lib", "--target", wasm::TARGET, "--", "-D", "warnings"]))
}

/// A test that runs in Node.
fn script(path: &str) -> (Counts, Outcome) {
    if let Err(message) = node() {
        return quiet(Err(message));
    }
    counted(program("node", "", &[path]), line_counts)
}

fn browser() -> (Counts, Outcome) {
    let browser = match chromium() {
        Ok(browser) => browser,
        Err(message) => return quiet(Err(message)),
    };
    println!("browser: {}", browser.display());
    let mut command = npm(&["run", "test:browser"]);
    command.env("CHROMIUM", browser).env("CI", "1").env("NO_COLOR", "1").env_remove("FORCE_COLOR");
    counted(command, line_counts)
}

/// A browser for the page's tests; installed where that can be done without asking.
fn chromium() -> Outcome<PathBuf> {
    if let Some(browser) = installed_chromium() {
        return Ok(browser);
    }
    let root = answer("id", &["-u"]).is_some_and(|user| user == "0");
    if !root || answer("apt-get", &["--version"]).is_none() {
        let remedy = if cfg!(target_os = "linux") {
            "Run `sudo apt-get update && sudo apt-get install -y chromium` (or your system's like)"
        } else {
            "Install Chromium or Google Chrome and set CHROMIUM to the path of its program"
        };
        return Err(format!("no Chromium was found for the browser tests. {remedy}, then run this again."));
    }
    for arguments in [&["update"][..], &["install", "-y", "--no-install-recommends", "chromium"]] {
        run(program("apt-get", "", arguments).env("DEBIAN_FRONTEND", "noninteractive"))?;
    }
    installed_chromium().ok_or_else(|| "Chromium was installed, but does not start".to_owned())
}

fn installed_chromium() -> Option<PathBuf> {
    let named = std::env::var_os("CHROMIUM").map(PathBuf::from);
    let names =
        ["chromium", "chromium-browser", "google-chrome"].map(|name| PathBuf::from("/usr/bin").join(name));
    // A file of that name can be a mere pointer to an installer, so it has to answer.
    let answers = |path: &PathBuf| path.to_str().is_some_and(|path| answer(path, &["--version"]).is_some());
    named.into_iter().chain(names).find(answers)
}

/// Sums cargo's `test result:` lines.
fn cargo_counts(text: &str) -> Counts {
    let results = text.lines().filter_map(|line| line.trim().strip_prefix("test result: "));
    sum(results.filter_map(|line| line.split_once(". ")).flat_map(|(_, counts)| counts.split("; ")))
}

/// Sums lines that are a count and a word, alone (`3 failed`) or in a row (`3 passed, 0 failed`).
fn line_counts(text: &str) -> Counts {
    sum(text.lines().flat_map(|line| line.split(", ")))
}

fn sum<'a>(parts: impl Iterator<Item = &'a str>) -> Counts {
    let mut counts = Counts::default();
    for part in parts {
        let (number, word) = part.trim().split_once(' ').unwrap_or_default();
        let Ok(number) = number.parse::<u32>() else { continue };
        // Playwright adds the time: `12 passed (13.2s)`.
        match word.split(" (").next().unwrap_or_default() {
            "passed" => counts.passed += number,
            // A test that passes only at the second try is not relied upon.
            "failed" | "flaky" | "interrupted" | "did not run" => counts.failed += number,
            "skipped" | "ignored" => counts.skipped += number,
            _ => {}
        }
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::{Counts, cargo_counts, line_counts};

    #[test]
    fn cargos_lines_are_summed() {
        let text = "test a ... ok\n\
                    test result: ok. 5 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s\n\
                    9 passed\n\
                    test result: FAILED. 2 passed; 3 failed; 0 ignored; 0 measured; 0 filtered out; finished in 1.00s\n";
        assert_eq!(cargo_counts(text), Counts { passed: 7, failed: 3, skipped: 1 });
    }

    #[test]
    fn other_runners_lines_are_summed() {
        assert_eq!(line_counts("50 passed, 2 failed\n"), Counts { passed: 50, failed: 2, skipped: 0 });
        let text = "Running 9 tests using 1 worker\n  1 failed\n    a.ts:3:1 › 4 passed by\n  1 flaky\n  2 skipped\n  \
                    3 did not run\n  5 passed (13.2s)\n";
        assert_eq!(line_counts(text), Counts { passed: 5, failed: 5, skipped: 2 });
        assert_eq!(Counts { passed: 5, failed: 5, skipped: 2 }.words(), "5 passed, 5 failed, 2 skipped");
        assert_eq!(line_counts("nothing"), Counts::default());
    }
}
