//! Cuts a module where its owners say.
//!
//! All parts work in one memory, one table of functions and one stack, which the first part brings. Every other part
//! takes what it calls of earlier ones from their exports, and writes its own functions and data where they stood before
//! the cut, so that no address changes. What the first part exported and no longer has, it exports as a gate: a call
//! through a place of the table that stays empty until the part behind it is there.

use super::notes::Notes;
use super::reach::Owners;
use crate::run::Outcome;
use std::collections::BTreeMap;
use std::ops::Range;
use walrus::ir::Value;
use walrus::{
    ConstExpr, DataKind, ElementItems, ElementKind, ExportItem, FunctionBuilder, FunctionId, FunctionKind,
    GlobalKind, ImportedFunction, MemoryId, Module, ModuleConfig, TableId,
};

/// How many bytes that nobody needs are written along rather than a run be ended: a run's head costs as many.
const GAP: usize = 8;

/// What all parts must agree on.
pub struct Cut<'whole> {
    whole: &'whole [u8],
    owners: Owners,
    /// By segment, whose each byte is.
    bytes: Vec<Vec<Option<usize>>>,
    /// Functions that a later part calls, and the names under which they are handed on.
    handed_on: BTreeMap<usize, String>,
    /// Exports of the first part that lead to another: which, to which function, and the place in the table.
    gates: Vec<Gate>,
}

struct Gate {
    export: String,
    function: usize,
    slot: u32,
}

impl<'whole> Cut<'whole> {
    /// Prepares the cut of `module`, which was read from `whole`.
    pub fn new(whole: &'whole [u8], module: &Module, notes: &Notes, owners: Owners) -> Outcome<Self> {
        let bytes = owners_of_bytes(module, notes, &owners)?;
        let table = main_table(module)?;
        let places: BTreeMap<FunctionId, usize> =
            module.functions().enumerate().map(|(place, function)| (function.id(), place)).collect();
        let mut slot = u32::try_from(module.tables.get(table).initial).map_err(|error| error.to_string())?;
        let mut gates = Vec::new();
        for export in module.exports.iter() {
            let ExportItem::Function(id) = export.item else { continue };
            let function = places[&id];
            if owners.functions[function] != Some(0) {
                gates.push(Gate { export: export.name.clone(), function, slot });
                slot += 1;
            }
        }
        let mut handed_on = BTreeMap::new();
        for (caller, called) in owners.calls.iter().enumerate() {
            for &function in called {
                if owners.functions[caller] > owners.functions[function] {
                    handed_on.insert(function, String::new());
                }
            }
        }
        for (number, name) in handed_on.values_mut().enumerate() {
            *name = number.to_string();
        }
        Ok(Self { whole, owners, bytes, handed_on, gates })
    }

    /// The first part: it is started like the whole.
    pub fn first(&self) -> Outcome<Vec<u8>> {
        let (mut module, functions) = self.read()?;
        let (memory, table) = (main_memory(&module)?, main_table(&module)?);
        for gate in &self.gates {
            let lead = gate_function(&mut module, functions[gate.function], table, gate.slot);
            let export =
                module.exports.iter().find(|export| export.name == gate.export).map(walrus::Export::id);
            let export = export.ok_or_else(|| format!("{} is exported no more", gate.export))?;
            module.exports.get_mut(export).item = ExportItem::Function(lead);
        }
        let longer = module.tables.get_mut(table);
        longer.initial += self.gates.len() as u64;
        longer.maximum = longer.maximum.map(|maximum| maximum + self.gates.len() as u64);
        self.keep_elements(&mut module, &functions, 0)?;
        self.keep_data(&mut module, memory, 0);
        self.hand_on(&mut module, &functions, 0);
        module.exports.add("m", memory);
        let tables: Vec<TableId> = module.tables.iter().map(walrus::Table::id).collect();
        for (number, table) in tables.into_iter().enumerate() {
            module.exports.add(&format!("t{number}"), table);
        }
        let globals: Vec<_> = module.globals.iter().map(walrus::Global::id).collect();
        for (number, global) in globals.into_iter().enumerate() {
            module.exports.add(&format!("g{number}"), global);
        }
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// A later part: its imports are the exports of the parts before it, under their numbers.
    pub fn later(&self, part: usize) -> Outcome<Vec<u8>> {
        let (mut module, functions) = self.read()?;
        let (memory, table) = (main_memory(&module)?, main_table(&module)?);
        let exports: Vec<_> = module.exports.iter().map(walrus::Export::id).collect();
        for export in exports {
            module.exports.delete(export);
        }
        module.start = None;
        for (place, name) in &self.handed_on {
            let Some(owner) = self.owners.functions[*place].filter(|owner| *owner < part) else { continue };
            take_function(&mut module, functions[*place], &owner.to_string(), name);
        }
        module.memories.get_mut(memory).import = Some(module.imports.add("0", "m", memory));
        let tables: Vec<TableId> = module.tables.iter().map(walrus::Table::id).collect();
        for (number, id) in tables.into_iter().enumerate() {
            let import = module.imports.add("0", &format!("t{number}"), id);
            let taken = module.tables.get_mut(id);
            taken.import = Some(import);
            taken.elem_segments.clear();
            if id == table {
                taken.initial += self.gates.len() as u64;
                taken.maximum = taken.maximum.map(|maximum| maximum + self.gates.len() as u64);
            }
        }
        let globals: Vec<_> = module.globals.iter().map(walrus::Global::id).collect();
        for (number, id) in globals.into_iter().enumerate() {
            let import = module.imports.add("0", &format!("g{number}"), id);
            module.globals.get_mut(id).kind = GlobalKind::Import(import);
        }
        self.keep_elements(&mut module, &functions, part)?;
        self.keep_data(&mut module, memory, part);
        self.hand_on(&mut module, &functions, part);
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// The whole module anew, with its functions in their order.
    fn read(&self) -> Outcome<(Module, Vec<FunctionId>)> {
        let mut config = ModuleConfig::new();
        config.generate_name_section(false).generate_producers_section(false);
        let module =
            config.parse(self.whole).map_err(|error| format!("the engine cannot be read: {error:#}"))?;
        let functions = module.functions().map(walrus::Function::id).collect();
        Ok((module, functions))
    }

    /// Exports what later parts call.
    fn hand_on(&self, module: &mut Module, functions: &[FunctionId], part: usize) {
        for (place, name) in &self.handed_on {
            if self.owners.functions[*place] == Some(part) {
                module.exports.add(name, functions[*place]);
            }
        }
    }

    /// Leaves only a part's own functions in the table, each where it stood.
    fn keep_elements(&self, module: &mut Module, functions: &[FunctionId], part: usize) -> Outcome {
        let places: BTreeMap<FunctionId, usize> =
            functions.iter().enumerate().map(|(place, id)| (*id, place)).collect();
        let mut runs: Vec<(TableId, u32, Vec<FunctionId>)> = Vec::new();
        let mut put = |table: TableId, slot: u32, function: FunctionId| match runs.last_mut() {
            Some((last, start, run)) if *last == table && *start + run.len() as u32 == slot => {
                run.push(function)
            }
            _ => runs.push((table, slot, vec![function])),
        };
        let segments: Vec<_> = module.elements.iter().map(walrus::Element::id).collect();
        for id in segments {
            let segment = module.elements.get(id);
            let ElementKind::Active { table, offset: ConstExpr::Value(Value::I32(start)) } = segment.kind
            else {
                return Err("the table of functions is filled in a way that is not known here".to_owned());
            };
            let ElementItems::Functions(items) = &segment.items else {
                return Err("the table of functions holds something else as well".to_owned());
            };
            for (slot, function) in (start.cast_unsigned()..).zip(items) {
                if self.owners.functions[places[function]] == Some(part) {
                    put(table, slot, *function);
                }
            }
            module.tables.get_mut(table).elem_segments.remove(&id);
            module.elements.delete(id);
        }
        let table = main_table(module)?;
        for gate in &self.gates {
            if self.owners.functions[gate.function] == Some(part) {
                put(table, gate.slot, functions[gate.function]);
            }
        }
        for (table, start, run) in runs {
            let offset = ConstExpr::Value(Value::I32(start.cast_signed()));
            let kind = ElementKind::Active { table, offset };
            let id = module.elements.add(kind, ElementItems::Functions(run));
            module.tables.get_mut(table).elem_segments.insert(id);
        }
        Ok(())
    }

    /// Leaves only a part's own data, each where it stood.
    fn keep_data(&self, module: &mut Module, memory: MemoryId, part: usize) {
        let segments: Vec<_> = module.data.iter().map(walrus::Data::id).collect();
        let mut runs: Vec<(i32, Vec<u8>)> = Vec::new();
        for (id, owners) in segments.iter().zip(&self.bytes) {
            let segment = module.data.get(*id);
            let DataKind::Active { offset: ConstExpr::Value(Value::I32(start)), .. } = segment.kind else {
                continue;
            };
            if part == 0 {
                // Noughts take no room once they are packed, and memory begins as noughts.
                let own = |(byte, owner): (&u8, &Option<usize>)| if *owner == Some(0) { *byte } else { 0 };
                runs.push((start, segment.value.iter().zip(owners).map(own).collect()));
            } else {
                let run = |run: Range<usize>| (start + run.start as i32, segment.value[run].to_vec());
                runs.extend(own_runs(owners, part).into_iter().map(run));
            }
        }
        for id in segments {
            module.data.delete(id);
        }
        module.memories.get_mut(memory).data_segments.clear();
        for (start, value) in runs {
            let kind = DataKind::Active { memory, offset: ConstExpr::Value(Value::I32(start)) };
            let id = module.data.add(kind, value);
            module.memories.get_mut(memory).data_segments.insert(id);
        }
    }
}

/// Whose each byte of data is. What has no name is the first part's; what no part needs is nobody's.
fn owners_of_bytes(module: &Module, notes: &Notes, owners: &Owners) -> Outcome<Vec<Vec<Option<usize>>>> {
    /// A byte as yet without a name.
    const UNNAMED: Option<Option<usize>> = None;
    let mut bytes: Vec<_> = module.data.iter().map(|segment| vec![UNNAMED; segment.value.len()]).collect();
    for (datum, owner) in notes.data.iter().zip(&owners.data) {
        // What begins as noughts stands in no segment.
        let Some(segment) = bytes.get_mut(datum.segment) else { continue };
        let Some(range) = segment.get_mut(datum.range.clone()) else {
            return Err("the engine's data is not as its linker left it".to_owned());
        };
        for byte in range {
            let known = byte.flatten();
            *byte = Some(match (known, *owner) {
                (Some(one), Some(other)) => Some(one.min(other)),
                (one, other) => one.or(other),
            });
        }
    }
    let first = |byte: Option<Option<usize>>| byte.unwrap_or(Some(0));
    Ok(bytes.into_iter().map(|segment| segment.into_iter().map(first).collect()).collect())
}

/// The runs of bytes that are a part's own; short gaps of nobody's bytes are left in.
fn own_runs(owners: &[Option<usize>], part: usize) -> Vec<Range<usize>> {
    let mut runs: Vec<Range<usize>> = Vec::new();
    for (at, owner) in owners.iter().enumerate() {
        if *owner != Some(part) {
            continue;
        }
        match runs.last_mut() {
            Some(run) if at - run.end <= GAP && owners[run.end..at].iter().all(Option::is_none) => {
                run.end = at + 1;
            }
            _ => runs.push(at..at + 1),
        }
    }
    runs
}

/// A function of the same kind that calls what stands in a place of the table.
fn gate_function(module: &mut Module, behind: FunctionId, table: TableId, slot: u32) -> FunctionId {
    let ty = module.funcs.get(behind).ty();
    let (takes, gives) = (module.types.params(ty).to_vec(), module.types.results(ty).to_vec());
    let given: Vec<_> = takes.iter().map(|kind| module.locals.add(*kind)).collect();
    let mut builder = FunctionBuilder::new(&mut module.types, &takes, &gives);
    let mut body = builder.func_body();
    for local in &given {
        body.local_get(*local);
    }
    body.i32_const(slot.cast_signed()).call_indirect(ty, table);
    builder.finish(given, &mut module.funcs)
}

/// Makes of a function one that comes from elsewhere.
fn take_function(module: &mut Module, id: FunctionId, from: &str, name: &str) {
    let ty = module.funcs.get(id).ty();
    let known = module.imports.get_imported_func(id).map(walrus::Import::id);
    if let Some(import) = known {
        let import = module.imports.get_mut(import);
        (import.module, import.name) = (from.to_owned(), name.to_owned());
    } else {
        let import = module.imports.add(from, name, id);
        module.funcs.get_mut(id).kind = FunctionKind::Import(ImportedFunction { import, ty });
    }
}

fn main_memory(module: &Module) -> Outcome<MemoryId> {
    module.memories.iter().next().map(walrus::Memory::id).ok_or_else(|| "the engine has no memory".to_owned())
}

fn main_table(module: &Module) -> Outcome<TableId> {
    let table = module.tables.main_function_table().map_err(|error| format!("{error:#}"))?;
    table.ok_or_else(|| "the engine has no table of functions".to_owned())
}

#[cfg(test)]
mod tests {
    use super::own_runs;

    #[test]
    fn runs_go_over_short_gaps_of_nobodys_bytes_alone() {
        let (mine, others, none) = (Some(1), Some(0), None);
        assert_eq!(own_runs(&[others, mine, mine, none, mine, others, mine], 1), [1..5, 6..7]);
        let mut far = vec![mine];
        far.extend([none; 9]);
        far.push(mine);
        assert_eq!(own_runs(&far, 1), [0..1, 10..11]);
        assert_eq!(own_runs(&[others, none], 1), []);
    }
}
