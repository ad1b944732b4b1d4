//! The order of functions in a module: like beside like.
//!
//! The packing that every browser can undo looks back 32 kB (RFC 1951), so code that is much the same packs well only
//! where it stands close together. Each next function is the one that shares most with what stands just before; that
//! saves a twentieth of what a tablet loads. What the functions do is the same in any order.

use crate::run::Outcome;
use std::collections::{BTreeMap, VecDeque};
use std::convert::Infallible;
use wasm_encoder::reencode::{self, Reencode};
use wasmparser::{CodeSectionReader, FunctionBody, FunctionSectionReader, Parser, Payload};

// The five figures that follow were found by trial on this engine, whose packed parts differ by less than half a per cent
// for others near them.

/// How long a run of bytes must be to be worth finding again.
const RUN: usize = 6;
/// How many runs of a function are looked at, at most.
const MOST_RUNS: usize = 400;
/// A run that so many functions hold tells none of them from the rest.
const COMMON: usize = 150;
/// How many bytes back a function is compared with: what it repeats must still be within reach at its own end.
const BACK: usize = 16_000;
/// Runs added to a function's own count before its share is taken, so that tiny ones do not come first.
const STEADY: usize = 20;

/// The module with its functions in an order that packs well.
pub fn packing(module: &[u8]) -> Outcome<Vec<u8>> {
    let fault =
        |error: &dyn std::fmt::Display| format!("the engine's functions cannot be put in order: {error}");
    let mut bodies = Vec::new();
    let mut imported = 0;
    for payload in Parser::new(0).parse_all(module) {
        match payload.map_err(|error| fault(&error))? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    let import = import.map_err(|error| fault(&error))?;
                    imported += u32::from(matches!(import.ty, wasmparser::TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(&module[body.range()]),
            _ => {}
        }
    }
    let order = order(&bodies);
    let mut place = vec![0; order.len()];
    for (at, &function) in order.iter().enumerate() {
        place[function] = imported + at as u32;
    }
    let mut ordered = wasm_encoder::Module::new();
    let mut writing = Ordered { imported, order, place };
    writing.parse_core_module(&mut ordered, Parser::new(0), module).map_err(|error| fault(&error))?;
    Ok(ordered.finish())
}

/// Writes a module anew with its functions in another order.
struct Ordered {
    imported: u32,
    /// The module's own functions, as they are to stand.
    order: Vec<usize>,
    /// The new index of each.
    place: Vec<u32>,
}

impl Reencode for Ordered {
    type Error = Infallible;

    fn function_index(&mut self, function: u32) -> Result<u32, reencode::Error<Infallible>> {
        let own = function.checked_sub(self.imported);
        Ok(own.map_or(function, |own| self.place[own as usize]))
    }

    fn parse_function_section(
        &mut self,
        functions: &mut wasm_encoder::FunctionSection,
        section: FunctionSectionReader<'_>,
    ) -> Result<(), reencode::Error<Infallible>> {
        let types = section.into_iter().collect::<Result<Vec<u32>, _>>()?;
        for at in 0..self.order.len() {
            functions.function(self.type_index(types[self.order[at]])?);
        }
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        code: &mut wasm_encoder::CodeSection,
        section: CodeSectionReader<'_>,
    ) -> Result<(), reencode::Error<Infallible>> {
        let bodies = section.into_iter().collect::<Result<Vec<FunctionBody<'_>>, _>>()?;
        for at in 0..self.order.len() {
            self.parse_function_body(code, bodies[self.order[at]].clone())?;
        }
        Ok(())
    }
}

/// The order in which each function stands behind what it shares most with.
fn order(bodies: &[&[u8]]) -> Vec<usize> {
    let mut holders: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (function, body) in bodies.iter().enumerate() {
        for run in runs(body) {
            holders.entry(run).or_default().push(function);
        }
    }
    // From here on a run is known by its place in the list of those that tell something.
    let holders: Vec<Vec<usize>> =
        holders.into_values().filter(|holders| (2..COMMON).contains(&holders.len())).collect();
    let mut held: Vec<Vec<usize>> = vec![Vec::new(); bodies.len()];
    for (run, holders) in holders.iter().enumerate() {
        for &function in holders {
            held[function].push(run);
        }
    }
    let mut near = Near { shared: vec![0; bodies.len()], seen: vec![0; holders.len()], holders };
    let mut left: Vec<usize> = (0..bodies.len()).collect();
    let (mut behind, mut bytes): (VecDeque<usize>, usize) = (VecDeque::new(), 0);
    let mut order = Vec::with_capacity(bodies.len());
    while !left.is_empty() {
        // The greatest share, and of equal ones the first.
        let share = |function: usize| (near.shared[function], STEADY + held[function].len());
        let mut best = 0;
        for at in 1..left.len() {
            let ((one, of_one), (other, of_other)) = (share(left[best]), share(left[at]));
            if other * of_one > one * of_other {
                best = at;
            }
        }
        let function = left.remove(best);
        order.push(function);
        near.comes(&held[function]);
        behind.push_back(function);
        bytes += bodies[function].len();
        while behind.len() > 1 && bytes - bodies[behind[0]].len() > BACK {
            let gone = behind.pop_front().unwrap_or_default();
            bytes -= bodies[gone].len();
            near.goes(&held[gone]);
        }
    }
    order
}

/// What the functions within reach hold, and how many runs of it each other function shares.
struct Near {
    holders: Vec<Vec<usize>>,
    /// How many functions within reach hold each run.
    seen: Vec<usize>,
    shared: Vec<usize>,
}

impl Near {
    fn comes(&mut self, runs: &[usize]) {
        for &run in runs {
            self.seen[run] += 1;
            if self.seen[run] == 1 {
                self.holders[run].iter().for_each(|&holder| self.shared[holder] += 1);
            }
        }
    }

    fn goes(&mut self, runs: &[usize]) {
        for &run in runs {
            self.seen[run] -= 1;
            if self.seen[run] == 0 {
                self.holders[run].iter().for_each(|&holder| self.shared[holder] -= 1);
            }
        }
    }
}

/// Runs of a function's bytes, scrambled, the least of them where there are many: of two functions that share much,
/// the least are mostly the same (Broder 1997).
fn runs(body: &[u8]) -> Vec<u64> {
    let scrambled = |run: &[u8]| {
        let plain = run.iter().fold(0_u64, |all, &byte| all << 8 | u64::from(byte));
        // An odd factor loses nothing: the golden ratio of 64 bits.
        plain.wrapping_mul(0x9E37_79B9_7F4A_7C15)
    };
    let mut runs: Vec<u64> = body.windows(RUN).map(scrambled).collect();
    runs.sort_unstable();
    runs.dedup();
    runs.truncate(MOST_RUNS);
    runs
}

#[cfg(test)]
mod tests {
    use super::{order, packing};
    use wasm_encoder::{
        CodeSection, ExportKind, ExportSection, Function, FunctionSection, Instruction, Module, TypeSection,
        ValType,
    };

    #[test]
    fn like_stands_beside_like() {
        let text = |word: &str| word.repeat(9).into_bytes();
        let bodies = [
            text("a long tale of one kind "),
            text("0123456789"),
            text("a long tale of two kinds"),
            text("0123456780"),
        ];
        let bodies: Vec<&[u8]> = bodies.iter().map(Vec::as_slice).collect();
        assert_eq!(order(&bodies), [0, 2, 1, 3]);
    }

    /// Three functions, of which two call the third, are the same functions whatever their order.
    #[test]
    fn calls_and_exports_follow_their_functions() {
        let (mut types, mut functions, mut exports, mut code) =
            (TypeSection::new(), FunctionSection::new(), ExportSection::new(), CodeSection::new());
        types.ty().function([ValType::I32], [ValType::I32]);
        let body = |instructions: &[Instruction<'_>]| {
            let mut function = Function::new([]);
            for instruction in instructions {
                function.instruction(instruction);
            }
            function.instruction(&Instruction::End);
            function
        };
        let add = [Instruction::LocalGet(0), Instruction::I32Const(77_777), Instruction::I32Add];
        let call = [&add[..], &[Instruction::Call(1)]].concat();
        let plain = [Instruction::LocalGet(0), Instruction::I32Eqz, Instruction::I32Clz, Instruction::I32Ctz];
        for (number, instructions) in [&call[..], &plain, &call].into_iter().enumerate() {
            functions.function(0);
            exports.export(["first", "plain", "last"][number], ExportKind::Func, number as u32);
            code.function(&body(instructions));
        }
        let mut module = Module::new();
        module.section(&types).section(&functions).section(&exports).section(&code);
        let ordered = packing(&module.finish()).unwrap();
        let module = walrus::Module::from_buffer(&ordered).unwrap();
        let called = |name: &str| {
            let function = module.exports.get_func(name).unwrap();
            let local = module.funcs.get(function).kind.unwrap_local();
            let instructions = &local.block(local.entry_block()).instrs;
            instructions.iter().find_map(|(instruction, _)| match instruction {
                walrus::ir::Instr::Call(call) => Some(call.func),
                _ => None,
            })
        };
        let plain = module.exports.get_func("plain").ok();
        assert_eq!([called("first"), called("last"), called("plain")], [plain, plain, None]);
        let order: Vec<_> = module.funcs.iter().map(walrus::Function::id).collect();
        assert_eq!(order.last().copied(), plain, "the two that are alike stand together");
    }
}
