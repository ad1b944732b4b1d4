//! Running other programs, and saying in plain words what happens and how long it takes.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

/// A result whose error is one sentence for the person at the keyboard.
pub type Outcome<T = ()> = Result<T, String>;

/// The repository's root.
pub fn root() -> PathBuf {
    let manifest = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
    manifest.and_then(|xtask| xtask.parent().map(Path::to_owned)).unwrap_or_else(|| PathBuf::from("."))
}

/// A program to be run in `folder` of the repository.
pub fn program(name: impl AsRef<OsStr>, folder: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(name);
    command.current_dir(root().join(folder)).args(arguments).stdin(Stdio::null());
    command
}

/// The cargo that runs this task, so that the toolchain stays the same.
pub fn cargo(arguments: &[&str]) -> Command {
    program(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()), "", arguments)
}

/// npm in `www`; `node` checks beforehand that there is one.
pub fn npm(arguments: &[&str]) -> Command {
    program(if cfg!(windows) { "npm.cmd" } else { "npm" }, "www", arguments)
}

/// Runs a program, its output going where ours goes.
pub fn run(command: &mut Command) -> Outcome {
    let status = command.status().map_err(|error| cannot_start(command, &error))?;
    if status.success() { Ok(()) } else { Err(format!("`{}` failed ({status})", words(command))) }
}

/// Runs a program, showing its standard output and keeping it too, also where the program fails.
pub fn run_and_keep(command: &mut Command) -> (String, Outcome) {
    let mut kept = String::new();
    let outcome = command
        .stdout(Stdio::piped())
        .spawn()
        .and_then(|mut child| {
            for line in child.stdout.take().map(BufReader::new).into_iter().flat_map(BufRead::lines) {
                let line = line?;
                println!("{line}");
                kept.push_str(&line);
                kept.push('\n');
            }
            child.wait()
        })
        .map_err(|error| cannot_start(command, &error));
    let outcome = outcome.and_then(|status| {
        if status.success() { Ok(()) } else { Err(format!("`{}` failed ({status})", words(command))) }
    });
    (kept, outcome)
}

/// What a program writes to standard output, trimmed; nothing where it is not there or fails.
pub fn answer(name: &str, arguments: &[&str]) -> Option<String> {
    let output = program(name, "", arguments).stderr(Stdio::null()).output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// Checks that Node 20.19 or newer and npm are there; the error names exactly what to install.
pub fn node() -> Outcome {
    const REMEDY: &str = "Install Node 20.19 or newer (it brings npm) from https://nodejs.org, or with your \
                          system's package manager, and run the same command again.";
    let version = answer("node", &["--version"]).ok_or(format!("Node was not found. {REMEDY}"))?;
    let mut numbers = version.trim_start_matches('v').split('.').map_while(|part| part.parse::<u32>().ok());
    if numbers.next().zip(numbers.next()) < Some((20, 19)) {
        return Err(format!("Node {version} is too old. {REMEDY}"));
    }
    let found = answer(if cfg!(windows) { "npm.cmd" } else { "npm" }, &["--version"]);
    found.map(drop).ok_or(format!("Node {version} is there, but npm was not found. {REMEDY}"))
}

/// Installs the page's packages exactly as `package-lock.json` has them, unless that is done already.
pub fn packages() -> Outcome {
    let www = root().join("www");
    let lock = read(&www.join("package-lock.json"))?;
    let wanted = format!("{}\n{lock}", answer("node", &["--version"]).unwrap_or_default());
    let stamp = www.join("node_modules/.installed-from");
    if std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted) {
        return Ok(());
    }
    run(npm(&["ci", "--no-audit", "--no-fund"]).env("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1"))?;
    write(&stamp, &wanted)
}

/// Says what is being done, does it, and says how long it took.
pub fn step<T>(what: &str, work: impl FnOnce() -> Outcome<T>) -> Outcome<T> {
    println!("{what} …");
    let start = now();
    let outcome = work();
    let end = if outcome.is_ok() { "done" } else { "failed" };
    println!("{what}: {end} after {:.1} s", start.elapsed().as_secs_f64());
    outcome
}

/// This moment, to measure how long a step takes.
#[expect(clippy::disallowed_methods, reason = "the engine reads no clock; the build may")]
pub fn now() -> Instant {
    Instant::now()
}

/// A text file's content.
pub fn read(path: &Path) -> Outcome<String> {
    std::fs::read_to_string(path).map_err(|error| format!("{} cannot be read: {error}", path.display()))
}

/// Writes a text file.
pub fn write(path: &Path, text: &str) -> Outcome {
    std::fs::write(path, text).map_err(|error| format!("{} cannot be written: {error}", path.display()))
}

fn cannot_start(command: &Command, error: &std::io::Error) -> String {
    format!("`{}` cannot be run: {error}", words(command))
}

fn words(command: &Command) -> String {
    let name = Path::new(command.get_program()).file_stem().unwrap_or_default();
    let words = std::iter::once(name).chain(command.get_args()).map(OsStr::to_string_lossy);
    words.collect::<Vec<_>>().join(" ")
}
