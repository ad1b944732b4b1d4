//! What is done to the project as a whole: building it, trying it, testing it.
//!
//! | module | task |
//! |---|---|
//! | [`app`] | the page as one file, built and opened |
//! | [`serve`] | the same over http |
//! | [`test`] | everything that must hold |
//! | [`types`] | the page's types, from the engine's |
//! | [`tidy`] | house rules that no compiler checks |
//! | [`wasm`] | the engine as WebAssembly |
//! | [`parts`] | the engine in parts, for the site |
//! | [`run`] | running other programs |

mod app;
mod parts;
mod run;
mod serve;
mod test;
mod tidy;
mod types;
mod wasm;

use crate::run::{Outcome, step};
use std::process::ExitCode;

/// The tasks and what each does.
const TASKS: [(&str, &str); 5] = [
    ("app [--no-open]", "build the page as one file and open it"),
    ("serve [--port N]", "build the page and serve it to this computer's browsers"),
    ("test [--only STEP,STEP] [--list]", "run every check and test, or some"),
    ("types [--check]", "write the page's types from the engine's, or check that they are fresh"),
    ("tidy", "check the house rules"),
];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match perform(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            if !message.is_empty() {
                eprintln!("{message}");
            }
            ExitCode::FAILURE
        }
    }
}

fn perform(arguments: &[&str]) -> Outcome {
    match arguments {
        ["app"] => app::build().and_then(|()| app::open()),
        ["app", "--no-open"] => app::build().map(|()| app::tell()),
        ["serve"] => app::build().and_then(|()| serve::serve(serve::PORT)),
        ["serve", "--port", port] => {
            let port = port.parse().map_err(|_| format!("`{port}` is no port; 1024 to 65535 are"))?;
            app::build().and_then(|()| serve::serve(port))
        }
        ["test"] => test::test(None),
        ["test", "--only", steps] => test::test(Some(steps)),
        ["test", "--list"] => {
            test::list();
            Ok(())
        }
        ["types"] => step("Building the engine", wasm::build).and_then(|()| types::refresh()),
        ["types", "--check"] => step("Building the engine", wasm::build).and_then(|()| types::check()),
        ["tidy"] => tidy::check(),
        [] | ["help" | "--help" | "-h"] => {
            println!("{}", usage());
            Ok(())
        }
        _ => Err(format!("`cargo xtask {}` is not understood.\n\n{}", arguments.join(" "), usage())),
    }
}

fn usage() -> String {
    let line = |(task, purpose): (&str, &str)| format!("  cargo xtask {task:33} {purpose}");
    format!("The tasks:\n{}", TASKS.map(line).join("\n"))
}
