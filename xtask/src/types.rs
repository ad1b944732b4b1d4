//! The page's types of the engine, generated from the Rust types and committed, so that a change shows.

use crate::run::{Outcome, read, root, write};
use crate::wasm;

const FILE: &str = "www/engine/types.d.ts";
const HEADER: &str = "// Generated from the engine's Rust types by `cargo xtask types`; do not edit.\n";

/// Writes the types, from an engine that has just been built.
pub fn refresh() -> Outcome {
    write(&root().join(FILE), &generated()?)
}

/// Fails where the committed types are not those of the engine that has just been built.
pub fn check() -> Outcome {
    if read(&root().join(FILE)).is_ok_and(|committed| committed == generated().unwrap_or_default()) {
        return Ok(());
    }
    Err(format!("{FILE} is not what the engine's types say: run `cargo xtask types` and commit the file"))
}

fn generated() -> Outcome<String> {
    Ok(tidied(&read(&root().join(wasm::FOLDER).join("evenfold.d.ts"))?))
}

/// The declarations in order of their names, without the compiled module's inner exports, whose names change.
fn tidied(generated: &str) -> String {
    let mut blocks: Vec<(String, String)> = Vec::new();
    let mut block = String::new();
    for line in generated.lines().map(str::trim_end).chain([""]) {
        // Of the module's own exports, only the memory has a name that stays.
        if line.starts_with("/* ") || (line.starts_with("    readonly ") && !line.contains(" memory:")) {
            continue;
        }
        if !line.is_empty() {
            block.push_str(line);
            block.push('\n');
        } else if !block.is_empty() {
            blocks.push((name(&block), std::mem::take(&mut block)));
        }
    }
    blocks.sort();
    blocks.iter().fold(HEADER.to_owned(), |text, (_, block)| text + "\n" + block)
}

/// What a block declares: the word after `export` and its kind.
fn name(block: &str) -> String {
    let line = block.lines().find(|line| line.starts_with("export ")).unwrap_or(block);
    let words = line.split(|letter: char| !letter.is_alphanumeric() && letter != '_');
    let kinds = ["export", "interface", "type", "class", "function", "default", "enum", "const"];
    words.filter(|word| !word.is_empty()).find(|word| !kinds.contains(word)).unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use super::{HEADER, tidied};

    #[test]
    fn order_and_inner_names_do_not_matter() {
        let zebra = "/**\n * Last.\n */\nexport interface Zebra {\n    a: string;\n}\n";
        let ant = "export type Ant = \"a\" | \"b\";\n";
        let inner =
            "export interface InitOutput {\n    readonly memory: M;\n    readonly x__h123: () => void;\n}\n";
        let one = tidied(&format!("/* eslint-disable */\n{zebra}\n{ant}\n\n{inner}"));
        let other = tidied(&format!("{}\n{ant}  \n{zebra}\n", inner.replace("h123", "h456")));
        assert_eq!(one, other);
        let inner = "export interface InitOutput {\n    readonly memory: M;\n}\n";
        assert_eq!(one, format!("{HEADER}\n{ant}\n{inner}\n{zebra}"));
    }
}
