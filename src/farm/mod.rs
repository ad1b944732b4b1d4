//! Every question that the command line and the page may ask, answered in one place.

pub mod document;
pub mod settings;
pub mod view;

use crate::farm::settings::Settings;
use crate::farm::view::{EweView, SortReply};
use serde::Serialize;

/// The invented demo farm's files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct DemoFiles {
    /// What to call it on screen.
    pub name: String,
    /// The flock list, CSV.
    pub flock: String,
    /// The pens, CSV.
    pub pens: String,
    /// The mating groups, CSV.
    pub groups: String,
    /// The day on which to sort it.
    pub on: String,
}

impl DemoFiles {
    /// The files, as they stand in `data/example`.
    pub fn new() -> Self {
        todo!()
    }
}

/// One flock and its pens, sorted.
#[derive(Debug)]
pub struct Farm;

impl Farm {
    /// Reads the files, sets faulty rows aside, and sorts the rest.
    pub fn sort(
        flock: &[u8],
        pens: &[u8],
        groups: Option<&[u8]>,
        settings: &Settings,
    ) -> (Option<Self>, SortReply) {
        let _ = (flock, pens, groups, settings);
        todo!()
    }

    /// One ewe, opened.
    pub fn ewe(&self, tag: &str) -> Option<EweView> {
        let _ = tag;
        todo!()
    }

    /// The JSON document.
    pub fn document_json(&self) -> String {
        todo!()
    }

    /// A pen's list, or all pens' lists, as CSV.
    pub fn pen_csv(&self, pen: Option<&str>) -> Option<String> {
        let _ = pen;
        todo!()
    }
}
