//! The engine in parts, for the site: a shepherd on a poor signal loads the race first, and the rest when it is asked
//! for or the tablet has time.
//!
//! | module | what |
//! |---|---|
//! | [`notes`] | what the linker noted of the compiled engine |
//! | [`reach`] | which part needs what |
//! | [`cut`] | the cut itself |
//! | [`order`] | functions in an order that packs well |
//!
//! A part holds what its own exports can come to use and no earlier part can. That is found from the code's calls and
//! from the linker's notes of every address, so it does not rest on luck: an address that stands nowhere in a part's
//! code or data cannot be called from there.

mod cut;
mod notes;
mod order;
mod reach;

use crate::run::Outcome;
use notes::Notes;
pub use order::packing;
use walrus::{Module, ModuleConfig};

/// The engine's classes whose exports stand in later parts, in this order. All else is in the first.
pub const LATER: [&str; 2] = ["SortEngine", "AsideEngine"];

/// An engine as it was linked, made ready to be found again in pieces.
pub struct Linked {
    notes: Notes,
}

impl Linked {
    /// Reads a linked module, and gives it on with its functions marked and its linker's notes taken out.
    pub fn read(linked: &[u8]) -> Outcome<(Self, Module)> {
        let notes = Notes::read(linked)?;
        let mut config = ModuleConfig::new();
        let parsed = config.strict_validate(false).on_parse(|module, indices| {
            let count = module.functions().count();
            for index in 0..count {
                let function = indices.get_func(u32::try_from(index)?)?;
                module.funcs.get_mut(function).name = Some(reach::mark(index));
            }
            Ok(())
        });
        let mut module =
            parsed.parse(linked).map_err(|error| format!("the engine cannot be read: {error:#}"))?;
        for section in ["linking", "reloc.CODE", "reloc.DATA"] {
            module.customs.remove_raw(section);
        }
        Ok((Self { notes }, module))
    }

    /// Cuts the engine, as it is after its boundary was made, into its parts.
    pub fn parts(&self, finished: &mut Module) -> Outcome<Vec<Vec<u8>>> {
        let whole = finished.emit_wasm();
        let module =
            Module::from_buffer(&whole).map_err(|error| format!("the engine cannot be read: {error:#}"))?;
        let owners = reach::owners(&module, &self.notes, part_of);
        let cut = cut::Cut::new(&whole, &module, &self.notes, owners)?;
        let later = (1..=LATER.len()).map(|part| cut.later(part));
        std::iter::once(cut.first()).chain(later).map(|part| order::packing(&part?)).collect()
    }
}

/// The part of an export, by its class: `sortengine_sort` and `__wbg_sortengine_free` are of `SortEngine`.
fn part_of(export: &str) -> usize {
    let name = export.strip_prefix("__wbg_").unwrap_or(export);
    let is_of =
        |class: &&str| name.strip_prefix(&class.to_lowercase()).is_some_and(|rest| rest.starts_with('_'));
    LATER.iter().position(is_of).map_or(0, |place| place + 1)
}

#[cfg(test)]
mod tests {
    use super::part_of;

    #[test]
    fn an_export_belongs_to_its_class() {
        assert_eq!(part_of("raceengine_enter_2b95"), 0);
        assert_eq!(part_of("__wbindgen_malloc"), 0);
        assert_eq!(part_of("sortengine_sort_2b95"), 1);
        assert_eq!(part_of("__wbg_asideengine_free_2b95"), 2);
        assert_eq!(part_of("sortengines"), 0);
    }
}
