//! The engine as the page sees it: translation only, no logic.
//!
//! Every method takes and returns typed values; the page's TypeScript types are generated from them. Each of the
//! page's threads has a class of its own. A class is also what a site loads for itself: the race first, and
//! what only the others use when it is asked for.

#![expect(unreachable_pub, reason = "the boundary is made of public functions alone")]

mod aside;
mod race;
mod sort;

use crate::farm::settings::Settings;
use crate::farm::{DemoFiles, Files};
use js_sys::Uint8Array;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

getrandom::register_custom_getrandom!(refuse_entropy);

/// linfa's crates ask for an entropy source although only seeded generators are used. Refusing proves it.
fn refuse_entropy(_buffer: &mut [u8]) -> Result<(), getrandom::Error> {
    Err(getrandom::Error::UNSUPPORTED)
}

/// The settings as they are until somebody changes them.
#[wasm_bindgen(js_name = defaultSettings)]
pub fn default_settings() -> Result<Ts<Settings>, JsError> {
    Ok(Settings::default().into_ts()?)
}

/// The invented demo farm: its files and the day on which to sort it.
#[wasm_bindgen(js_name = demoFiles)]
pub fn demo_files() -> Result<Ts<DemoFiles>, JsError> {
    Ok(DemoFiles::new().into_ts()?)
}

/// The files of one farm, copied out of the page's memory.
#[derive(PartialEq)]
struct Copied {
    flock: Vec<u8>,
    pens: Vec<u8>,
    groups: Option<Vec<u8>>,
}

impl Copied {
    fn new(flock: &Uint8Array, pens: &Uint8Array, groups: Option<&Uint8Array>) -> Self {
        Self { flock: flock.to_vec(), pens: pens.to_vec(), groups: groups.map(Uint8Array::to_vec) }
    }

    fn files(&self) -> Files<'_> {
        Files { flock: &self.flock, pens: &self.pens, groups: self.groups.as_deref() }
    }
}
