//! House rules that no compiler checks.

use crate::run::{Outcome, answer, read, root};
use std::path::Path;

/// The commands that the README must name.
const PROMISED: [&str; 2] = ["cargo xtask app", "cargo xtask test"];

/// Checks every file that git knows, or would if it were added; the error lists every fault.
pub fn check() -> Outcome {
    let files = answer("git", &["ls-files", "-z", "--cached", "--others", "--exclude-standard"])
        .ok_or("tidy needs git, and a git repository")?;
    let mut faults = Vec::new();
    for name in files.split('\0').filter(|name| !name.is_empty()) {
        // Some files are no text, and some have just been deleted.
        if let Ok(text) = std::fs::read_to_string(root().join(name)) {
            faults.extend(in_file(name, &text).into_iter().map(|fault| format!("{name}: {fault}")));
        }
    }
    let text_of = |name: &str| read(&root().join(name)).unwrap_or_default();
    let readme = text_of("README.md");
    for command in PROMISED.iter().filter(|command| !readme.contains(**command)) {
        faults.push(format!("README.md: does not name `{command}`"));
    }
    if text_of("CHANGELOG.md").lines().filter(|line| !line.trim().is_empty()).count() < 2 {
        faults.push("CHANGELOG.md: says nothing".to_owned());
    }
    if faults.is_empty() { Ok(()) } else { Err(faults.join("\n")) }
}

/// The faults of one file, each with its line where it has one.
fn in_file(name: &str, text: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let extension = Path::new(name).extension().and_then(|extension| extension.to_str()).unwrap_or_default();
    let code = matches!(extension, "rs" | "ts" | "tsx" | "mjs" | "js" | "css");
    for (number, line) in (1..).zip(text.lines()) {
        let mut fault = |what: &str| faults.push(format!("line {number}: {what}"));
        if code && line.ends_with([' ', '\t']) {
            fault("trailing white space");
        }
        if code && line.contains('\t') {
            fault("a tab");
        }
        if ["<", ">", "|"].iter().any(|mark| line.starts_with(&(mark.repeat(7) + " "))) {
            fault("a merge mark");
        }
        if name.ends_with("package-lock.json") && line.contains("\"resolved\": \"http") {
            fault(
                "an address of a registry (`npm install --omit-lockfile-registry-resolved` leaves them out)",
            );
        }
        if name.ends_with(".md") {
            for task in line.split("cargo xtask ").skip(1) {
                let task =
                    task.split(|letter: char| !letter.is_ascii_alphabetic()).next().unwrap_or_default();
                if !crate::TASKS.iter().any(|(known, _)| known.split(' ').next() == Some(task)) {
                    fault(&format!("there is no `cargo xtask {task}`"));
                }
            }
        }
    }
    let most = match extension {
        "rs" => 800,
        "ts" | "tsx" if !name.ends_with(".d.ts") => 400,
        _ => usize::MAX,
    };
    if text.lines().count() > most {
        faults.push(format!("has {} lines; {most} are the most", text.lines().count()));
    }
    let table = name.starts_with("data/") && matches!(extension, "csv" | "toml");
    if table && !text.to_lowercase().contains("source") && !told_in_readme(name) {
        faults.push("tells no source, nor does a README beside or above it that names the table".to_owned());
    }
    faults
}

/// Whether a README beside the table or above it names it and says where it comes from, or that it is invented.
fn told_in_readme(name: &str) -> bool {
    let path = Path::new(name);
    let short = path.file_name().unwrap_or_default().to_string_lossy();
    path.ancestors().skip(1).filter_map(|folder| read(&root().join(folder).join("README.md")).ok()).any(
        |readme| {
            let words = readme.to_lowercase();
            readme.contains(&*short) && (words.contains("source") || words.contains("invented"))
        },
    )
}

#[cfg(test)]
mod tests {
    use super::in_file;

    #[track_caller]
    fn check(name: &str, text: &str, expected: &str) {
        assert_eq!(in_file(name, text).join("; "), expected);
    }

    #[test]
    fn each_fault_is_found() {
        check("src/a.rs", "fn a() {}\n", "");
        check("src/a.rs", "fn a() {} \n", "line 1: trailing white space");
        check("www/a.tsx", "a\n\tb\n", "line 2: a tab");
        check("a.md", &format!("x\n{} ours\n", "<".repeat(7)), "line 2: a merge mark");
        check("src/a.rs", &"x\n".repeat(801), "has 801 lines; 800 are the most");
        check("www/a.ts", &"x\n".repeat(401), "has 401 lines; 400 are the most");
        check("www/a.d.ts", &"x\n".repeat(401), "");
        check(
            "README.md",
            "`cargo xtask app --no-open`, `cargo xtask fly`",
            "line 1: there is no `cargo xtask fly`",
        );
        check(
            "data/a.csv",
            "a,b\n",
            "tells no source, nor does a README beside or above it that names the table",
        );
        check("data/a.csv", "a,source\n", "");
        let lock = in_file("www/package-lock.json", "  \"resolved\": \"https://host/x.tgz\"");
        assert_eq!(lock.len(), 1);
    }
}
