//! Which part each function and each byte of data belongs to: the first that can come to need it.

use super::notes::{Mentions, Notes};
use std::collections::{BTreeMap, BTreeSet};
use walrus::ir::{Visitor, dfs_in_order};
use walrus::{ExportItem, FunctionId, FunctionKind, Module};

/// Owners by index, of a module's functions and of its named data; nothing where no part needs it.
pub struct Owners {
    /// Of functions, in the module's order.
    pub functions: Vec<Option<usize>>,
    /// Of the data that the linker's notes name.
    pub data: Vec<Option<usize>>,
    /// The functions that each function calls, in the module's order.
    pub calls: Vec<BTreeSet<usize>>,
}

/// How the mark of a function begins.
const MARK: &str = "f";

/// The name by which a function is found again after its boundary was made: its index when it was linked. No exported
/// name may stand here, since functions that are called like their export are given another name then; and some are
/// exported anew by this one, so it must be a name in JavaScript too.
pub fn mark(index: usize) -> String {
    format!("{MARK}{index}")
}

/// Finds the owners, where `part_of` tells the part of each of the module's exports.
pub fn owners(module: &Module, notes: &Notes, part_of: impl Fn(&str) -> usize) -> Owners {
    let places: BTreeMap<FunctionId, usize> =
        module.functions().enumerate().map(|(place, function)| (function.id(), place)).collect();
    let mut roots: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for export in module.exports.iter() {
        if let ExportItem::Function(id) = export.item {
            roots.entry(part_of(&export.name)).or_default().push(places[&id]);
        }
    }
    roots.entry(0).or_default().extend(module.start.map(|id| places[&id]));
    let mut owners = Owners {
        functions: vec![None; places.len()],
        data: vec![None; notes.data.len()],
        calls: calls(module, &places),
    };
    let linked = linked(module);
    let mentions = mentions(notes, &linked, places.len());
    // Parts in their order, so that what an earlier one reached stays its own.
    for (part, functions) in roots {
        owners.reach(part, functions, notes, &linked, &mentions);
    }
    // What comes from outside, the first part brings for all.
    for (function, owner) in module.functions().zip(&mut owners.functions) {
        if matches!(function.kind, FunctionKind::Import(_)) && owner.is_some() {
            *owner = Some(0);
        }
    }
    owners
}

impl Owners {
    /// Gives a part all that these functions of its can come to use and nobody has.
    fn reach(
        &mut self,
        part: usize,
        mut functions: Vec<usize>,
        notes: &Notes,
        linked: &BTreeMap<usize, usize>,
        mentions: &[Mentions],
    ) {
        let mut data: Vec<usize> = Vec::new();
        loop {
            let mentioned = if let Some(place) = functions.pop() {
                if self.functions[place].is_some() {
                    continue;
                }
                self.functions[place] = Some(part);
                functions.extend(&self.calls[place]);
                &mentions[place]
            } else if let Some(datum) = data.pop() {
                if self.data[datum].is_some() {
                    continue;
                }
                self.data[datum] = Some(part);
                &notes.data[datum].mentions
            } else {
                break;
            };
            data.extend(&mentioned.data);
            // A function that is gone was one of the descriptions of the boundary, which nothing calls.
            functions.extend(mentioned.functions.iter().filter_map(|function| linked.get(function)));
        }
    }
}

/// Where each function that was linked stands now, by its index then.
fn linked(module: &Module) -> BTreeMap<usize, usize> {
    let index = |name: &str| name.strip_prefix(MARK)?.parse::<usize>().ok();
    let functions = module.functions().enumerate();
    functions.filter_map(|(place, function)| Some((index(function.name.as_deref()?)?, place))).collect()
}

/// What each function mentions, in the module's order.
fn mentions(notes: &Notes, linked: &BTreeMap<usize, usize>, count: usize) -> Vec<Mentions> {
    let mut mentions = vec![Mentions::default(); count];
    for (&index, &place) in linked {
        if let Some(noted) = notes.functions.get(index) {
            mentions[place].clone_from(noted);
        }
    }
    mentions
}

/// What each function calls, in the module's order.
fn calls(module: &Module, places: &BTreeMap<FunctionId, usize>) -> Vec<BTreeSet<usize>> {
    let calls = module.functions().map(|function| {
        let mut called = Called::default();
        if let FunctionKind::Local(local) = &function.kind {
            dfs_in_order(&mut called, local, local.entry_block());
        }
        called.functions.iter().map(|id| places[id]).collect()
    });
    calls.collect()
}

/// The functions that a function calls.
#[derive(Default)]
struct Called {
    functions: Vec<FunctionId>,
}

impl<'module> Visitor<'module> for Called {
    fn visit_function_id(&mut self, function: &FunctionId) {
        self.functions.push(*function);
    }
}
