//! What the linker noted of a module: which functions and which bytes of its data each function and each datum mentions.
//!
//! The notes are the sections that `--emit-relocs` leaves in a module, as the tool conventions of WebAssembly describe
//! them (`Linking.md`: the symbol table and the relocation sections).

use crate::run::Outcome;
use std::collections::BTreeSet;
use std::ops::Range;
use wasmparser::{BinaryReaderError, KnownCustom, Linking, Parser, Payload, RelocationType, SymbolInfo};

/// The notes of one module.
#[derive(Default)]
pub struct Notes {
    /// What each function mentions, by its index: imported ones come first and mention nothing.
    pub functions: Vec<Mentions>,
    /// Every datum that has a name for the linker.
    pub data: Vec<Datum>,
}

/// What is mentioned: functions whose address is taken, and data. Calls are not here: they stand in the code.
#[derive(Clone, Default)]
pub struct Mentions {
    /// Indices of functions.
    pub functions: BTreeSet<usize>,
    /// Indices of [`Notes::data`].
    pub data: BTreeSet<usize>,
}

/// Bytes that stand together.
pub struct Datum {
    /// The segment that they are in; one behind the last holds nothing but noughts, and stands in no file.
    pub segment: usize,
    /// Where in the segment.
    pub range: Range<usize>,
    /// What their addresses lead to.
    pub mentions: Mentions,
}

/// What a symbol of the linker stands for.
enum Symbol {
    Function(usize),
    Datum(usize),
    Other,
}

/// Where the notes' offsets lead to, and the notes as they are read.
#[derive(Default)]
struct Reading {
    notes: Notes,
    symbols: Vec<Symbol>,
    /// Indices of the sections of code and of data.
    code_section: Option<usize>,
    data_section: Option<usize>,
    /// Where each function's body and each segment's bytes stand, from the start of their section.
    bodies: Vec<Range<usize>>,
    segments: Vec<Range<usize>>,
    imported: usize,
}

impl Notes {
    /// Reads the notes of a module that was linked with `--emit-relocs`.
    pub fn read(module: &[u8]) -> Outcome<Self> {
        let reading =
            Reading::of(module).map_err(|error| format!("the linked module cannot be read: {error}"))??;
        if reading.symbols.is_empty() {
            return Err("the linked module carries no notes of its linker".to_owned());
        }
        Ok(reading.notes)
    }
}

impl Reading {
    fn of(module: &[u8]) -> Result<Outcome<Self>, BinaryReaderError> {
        let mut reading = Self::default();
        let (mut section, mut code) = (0, 0);
        for payload in Parser::new(0).parse_all(module) {
            let payload = payload?;
            let is_section = payload.as_section().is_some();
            match payload {
                Payload::ImportSection(imports) => {
                    for import in imports.into_imports() {
                        reading.imported += usize::from(matches!(import?.ty, wasmparser::TypeRef::Func(_)));
                    }
                }
                Payload::CodeSectionStart { range, .. } => {
                    (reading.code_section, code) = (Some(section), range.start);
                }
                Payload::CodeSectionEntry(body) => {
                    reading.bodies.push(body.range().start - code..body.range().end - code);
                }
                Payload::DataSection(segments) => {
                    reading.data_section = Some(section);
                    let data = segments.range().start;
                    for segment in segments {
                        let segment = segment?;
                        let end = segment.range.end - data;
                        reading.segments.push(end - segment.data.len()..end);
                    }
                }
                Payload::CustomSection(custom) => match custom.as_known() {
                    KnownCustom::Linking(linking) => {
                        for part in linking.subsections() {
                            if let Linking::SymbolTable(symbols) = part? {
                                for symbol in symbols {
                                    reading.take_symbol(&symbol?);
                                }
                            }
                        }
                    }
                    KnownCustom::Reloc(relocations) => {
                        let of = Some(relocations.section_index() as usize);
                        for entry in relocations.entries() {
                            if let Err(fault) = reading.take_mention(of, &entry?) {
                                return Ok(Err(fault));
                            }
                        }
                    }
                    _ => {}
                },
                _ => {}
            }
            section += usize::from(is_section);
        }
        reading.notes.functions.resize(reading.imported + reading.bodies.len(), Mentions::default());
        Ok(Ok(reading))
    }

    fn take_symbol(&mut self, symbol: &SymbolInfo<'_>) {
        let symbol = match *symbol {
            SymbolInfo::Func { index, .. } => Symbol::Function(index as usize),
            SymbolInfo::Data { symbol: Some(place), .. } => {
                let start = place.offset as usize;
                self.notes.data.push(Datum {
                    segment: place.index as usize,
                    range: start..start + place.size as usize,
                    mentions: Mentions::default(),
                });
                Symbol::Datum(self.notes.data.len() - 1)
            }
            _ => Symbol::Other,
        };
        self.symbols.push(symbol);
    }

    /// Takes in one address that stands in a function or in a datum.
    fn take_mention(&mut self, section: Option<usize>, entry: &wasmparser::RelocationEntry) -> Outcome {
        let is_address = match entry.ty {
            RelocationType::TableIndexSleb
            | RelocationType::TableIndexI32
            | RelocationType::MemoryAddrLeb
            | RelocationType::MemoryAddrSleb
            | RelocationType::MemoryAddrI32 => true,
            // Calls, types and globals are seen in the code; the rest is for whoever looks for faults in the source.
            RelocationType::FunctionIndexLeb
            | RelocationType::TypeIndexLeb
            | RelocationType::GlobalIndexLeb
            | RelocationType::FunctionOffsetI32
            | RelocationType::SectionOffsetI32
            | RelocationType::TableNumberLeb => false,
            other => {
                return Err(format!(
                    "the linker notes an address of a kind that is not known here: {other:?}"
                ));
            }
        };
        if !is_address || (section != self.code_section && section != self.data_section) {
            return Ok(());
        }
        let offset = entry.offset as usize;
        let mentions: Vec<&mut Mentions> = if section == self.code_section {
            let body = self.bodies.partition_point(|body| body.end <= offset);
            let function = self.imported + body;
            if self.notes.functions.len() <= function {
                self.notes.functions.resize(function + 1, Mentions::default());
            }
            self.notes.functions.get_mut(function).into_iter().collect()
        } else {
            let segment = self.segments.partition_point(|segment| segment.end <= offset);
            let within = offset - self.segments.get(segment).map_or(0, |segment| segment.start);
            let here = |datum: &&mut Datum| datum.segment == segment && datum.range.contains(&within);
            self.notes.data.iter_mut().filter(here).map(|datum| &mut datum.mentions).collect()
        };
        if mentions.is_empty() {
            return Err(format!("the linker notes an address at {offset} that is part of nothing it names"));
        }
        for mentioned in mentions {
            match self.symbols.get(entry.index as usize) {
                Some(Symbol::Function(function)) => drop(mentioned.functions.insert(*function)),
                Some(Symbol::Datum(datum)) => drop(mentioned.data.insert(*datum)),
                // What is nowhere has the address nought; a global is no address.
                Some(Symbol::Other) => {}
                None => {
                    return Err(format!(
                        "the linker mentions symbol {}, which it does not list",
                        entry.index
                    ));
                }
            }
        }
        Ok(())
    }
}
