//! The engine as WebAssembly, with the JavaScript and TypeScript that go with it.

use crate::parts::{self, Linked};
use crate::run::{Outcome, answer, cargo, program, root, run};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use wasm_bindgen_cli_support::Bindgen;

/// What the engine is compiled for.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// How long a function may be to be copied into its callers, in the compiler's own measure (its usual 275 makes the
/// engine a tenth heavier to load, and hardly faster).
const INLINE: u32 = 50;

/// Where the page finds the engine, seen from the root. Git ignores it.
pub const FOLDER: &str = "www/engine/generated";

/// Compiles the engine and writes `evenfold.js`, `evenfold.d.ts` and `evenfold_bg.wasm` into [`FOLDER`], and beside the
/// whole its [`parts`](crate::parts) as `part_0.wasm` and on.
pub fn build() -> Outcome {
    target()?;
    let compiled = compile()?;
    let linked = std::fs::read(&compiled).map_err(|error| format!("{}: {error}", compiled.display()))?;
    let (linked, module) = Linked::read(&linked)?;
    let mut bindgen = Bindgen::new();
    let bindgen = bindgen.web(true).map_err(|error| format!("wasm-bindgen: {error:#}"))?;
    bindgen.input_module("evenfold", module).typescript(true).omit_default_module_path(true).demangle(false);
    let mut output = bindgen.generate_output().map_err(|error| format!("wasm-bindgen: {error:#}"))?;
    let folder = root().join(FOLDER);
    let parts = linked.parts(output.wasm_mut())?;
    // Names of functions are a fifteenth of the file and tell nobody anything at the race.
    for function in output.wasm_mut().funcs.iter_mut() {
        function.name = None;
    }
    output.emit(&folder).map_err(|error| format!("wasm-bindgen: {error:#}"))?;
    save(&folder.join("evenfold_bg.wasm"), &parts::packing(&output.wasm_mut().emit_wasm())?)?;
    for (number, part) in parts.iter().enumerate() {
        save(&folder.join(format!("part_{number}.wasm")), part)?;
    }
    Ok(())
}

fn save(file: &Path, bytes: &[u8]) -> Outcome {
    std::fs::write(file, bytes).map_err(|error| format!("{}: {error}", file.display()))
}

/// Makes sure that the compiler can compile for WebAssembly.
pub fn target() -> Outcome {
    let folder = answer("rustc", &["--print", "target-libdir", "--target", TARGET]);
    if folder.is_some_and(|folder| Path::new(&folder).is_dir()) {
        return Ok(());
    }
    run(&mut program("rustup", "", &["target", "add", TARGET])).map_err(|error| {
        format!("Rust cannot compile for WebAssembly yet: {error}. Run `rustup target add {TARGET}`.")
    })
}

fn compile() -> Outcome<PathBuf> {
    // The messages go to standard error; standard output says where the module is.
    let output = cargo(&["build", "--release", "--lib", "--target", TARGET])
        .args(["--message-format=json-render-diagnostics", "--config", &flags()])
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| format!("cargo cannot be run: {error}"))?;
    if !output.status.success() {
        return Err("the engine does not compile; the messages above say where".to_owned());
    }
    let messages = String::from_utf8_lossy(&output.stdout);
    messages.lines().rev().find_map(module).ok_or_else(|| "cargo named no WebAssembly module".to_owned())
}

/// The WebAssembly module that one of cargo's messages names, if it is the engine's.
fn module(message: &str) -> Option<PathBuf> {
    let message: serde_json::Value = serde_json::from_str(message).ok()?;
    if message["reason"] != "compiler-artifact" || message["target"]["name"] != "evenfold" {
        return None;
    }
    let files = message["filenames"].as_array()?.iter().filter_map(|file| file.as_str());
    files.map(PathBuf::from).find(|file| file.extension().is_some_and(|extension| extension == "wasm"))
}

/// The compiler's flags. The linker leaves its notes, by which the engine is cut into parts. Panic messages carry source paths, which are shortened, so that the module is alike on every
/// machine.
fn flags() -> String {
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| std::env::home_dir().map(|home| home.join(".cargo"))).unwrap_or_default();
    let flag = |path: &Path, name: &str| {
        serde_json::Value::from(format!("--remap-path-prefix={}={name}", path.display())).to_string()
    };
    format!(
        "target.{TARGET}.rustflags=[{},{},\"-Cllvm-args=--inline-threshold={INLINE}\",\"-Clink-args=--emit-relocs\"]",
        flag(&root(), "evenfold"),
        flag(&home, "cargo")
    )
}

#[cfg(test)]
mod tests {
    use super::module;
    use std::path::PathBuf;

    #[test]
    fn only_the_engines_module_is_taken() {
        let message = |name: &str, file: &str| {
            format!(
                r#"{{"reason":"compiler-artifact","target":{{"name":"{name}"}},"filenames":["x.rlib","{file}"]}}"#
            )
        };
        assert_eq!(module(&message("evenfold", "a/evenfold.wasm")), Some(PathBuf::from("a/evenfold.wasm")));
        assert_eq!(module(&message("evenfold", "a/libevenfold.so")), None);
        assert_eq!(module(&message("other", "a/other.wasm")), None);
        assert_eq!(module("not a message"), None);
    }
}
