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

/// The name by which a function is found again after its module was worked on: its index when it was linked.
pub fn mark(index: usize) -> String {
    format!("f{index}")
}

/// Finds the owners, where `part_of` tells the part of each of the module's exports.
pub fn owners(module: &Module, notes: &Notes, part_of: impl Fn(&str) -> usize) -> Owners {
    let ids: Vec<FunctionId> = module.functions().map(|function| function.id()).collect();
    let places: BTreeMap<FunctionId, usize> =
        ids.iter().enumerate().map(|(place, id)| (*id, place)).collect();
    let by_mark: BTreeMap<&str, usize> = module
        .functions()
        .enumerate()
        .filter_map(|(place, function)| Some((function.name.as_deref()?, place)))
        .collect();
    let linked: BTreeMap<usize, usize> = (0..notes.functions.len())
        .filter_map(|linked| Some((linked, *by_mark.get(mark(linked).as_str())?)))
        .collect();
    let mut mentions = vec![Mentions::default(); ids.len()];
    for (index, place) in &linked {
        mentions[*place].clone_from(&notes.functions[*index]);
    }
    let calls: Vec<BTreeSet<usize>> = module
        .functions()
        .map(|function| {
            let mut called = Called::default();
            if let FunctionKind::Local(local) = &function.kind {
                dfs_in_order(&mut called, local, local.entry_block());
            }
            called.functions.iter().map(|id| places[id]).collect()
        })
        .collect();

    let mut owners =
        Owners { functions: vec![None; ids.len()], data: vec![None; notes.data.len()], calls: Vec::new() };
    let mut roots: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for export in module.exports.iter() {
        if let ExportItem::Function(id) = export.item {
            roots.entry(part_of(&export.name)).or_default().push(places[&id]);
        }
    }
    roots.entry(0).or_default().extend(module.start.map(|id| places[&id]));
    // Parts in their order, so that what an earlier one reached stays its own.
    for (part, roots) in roots {
        let mut functions = roots;
        let mut data: Vec<usize> = Vec::new();
        loop {
            let mentioned = if let Some(place) = functions.pop() {
                if owners.functions[place].is_some() {
                    continue;
                }
                owners.functions[place] = Some(part);
                functions.extend(&calls[place]);
                &mentions[place]
            } else if let Some(datum) = data.pop() {
                if owners.data[datum].is_some() {
                    continue;
                }
                owners.data[datum] = Some(part);
                &notes.data[datum].mentions
            } else {
                break;
            };
            data.extend(&mentioned.data);
            for function in &mentioned.functions {
                let place = linked.get(function);
                // A function that is gone was one of the descriptions of the boundary, which nothing calls.
                functions.extend(place);
            }
        }
    }
    // What comes from outside, the first part brings for all.
    for (function, owner) in module.functions().zip(&mut owners.functions) {
        if matches!(function.kind, FunctionKind::Import(_)) && owner.is_some() {
            *owner = Some(0);
        }
    }
    owners.calls = calls;
    owners
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
