//! The engine as the page sees it: translation only, no logic.
//!
//! Every method takes and returns typed values; the page's TypeScript types are generated from them.

use crate::farm::need::{NeedQuestion, NeedReply};
use crate::farm::ration::{RationQuestion, RationReply, ration};
use crate::farm::settings::Settings;
use crate::farm::view::{EweView, ProofView, SortReply};
use crate::farm::{Certificate, DemoFiles, Farm};
use js_sys::Uint8Array;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

getrandom::register_custom_getrandom!(refuse_entropy);

/// linfa's crates ask for an entropy source although only seeded generators are used. Refusing proves it.
fn refuse_entropy(_buffer: &mut [u8]) -> Result<(), getrandom::Error> {
    Err(getrandom::Error::UNSUPPORTED)
}

/// One flock and its pens, sorted on request.
#[wasm_bindgen]
#[derive(Default)]
pub struct Engine {
    farm: Option<Farm>,
    /// The proof under way for it.
    certificate: Option<Certificate>,
}

#[wasm_bindgen]
impl Engine {
    /// An engine with no flock yet.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
    }

    /// The settings as they are until somebody changes them.
    #[wasm_bindgen(js_name = defaultSettings)]
    pub fn default_settings(&self) -> Result<Ts<Settings>, JsError> {
        Ok(Settings::default().into_ts()?)
    }

    /// The invented demo farm: its files and the day on which to sort it.
    #[wasm_bindgen(js_name = demoFiles)]
    pub fn demo_files(&self) -> Result<Ts<DemoFiles>, JsError> {
        Ok(DemoFiles::new().into_ts()?)
    }

    /// Reads the files, sets faulty rows aside, and sorts the rest.
    pub fn sort(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
    ) -> Result<Ts<SortReply>, JsError> {
        let groups = groups.map(|groups| groups.to_vec());
        let (farm, reply) =
            Farm::sort(&flock.to_vec(), &pens.to_vec(), groups.as_deref(), &settings.to_rust()?);
        self.certificate = farm.as_ref().and_then(Farm::certificate);
        self.farm = farm;
        Ok(reply.into_ts()?)
    }

    /// Takes the proof of the last sort one step on; nothing where there is none to do.
    #[wasm_bindgen(js_name = proveStep)]
    pub fn prove_step(&mut self) -> Result<Option<Ts<ProofView>>, JsError> {
        let (Some(farm), Some(certificate)) = (&mut self.farm, &mut self.certificate) else {
            return Ok(None);
        };
        certificate.step();
        let proof = farm.take_proof(certificate);
        if proof.is_done {
            self.certificate = None;
        }
        Ok(Some(proof.into_ts()?))
    }

    /// One ewe of the last sort, opened; nothing where there is no such ewe.
    pub fn ewe(&self, tag: &str) -> Result<Option<Ts<EweView>>, JsError> {
        let ewe = self.farm.as_ref().and_then(|farm| farm.ewe(tag));
        Ok(ewe.map(|ewe| ewe.into_ts()).transpose()?)
    }

    /// A usual question about one ewe, to change.
    #[wasm_bindgen(js_name = defaultNeedQuestion)]
    pub fn default_need_question(&self) -> Result<Ts<NeedQuestion>, JsError> {
        Ok(NeedQuestion::default().into_ts()?)
    }

    /// What one ewe needs, from her figures alone, with curves to draw.
    pub fn need(&self, question: Ts<NeedQuestion>) -> Result<Ts<NeedReply>, JsError> {
        Ok(crate::farm::need::reply(&question.to_rust()?).into_ts()?)
    }

    /// A usual question about a pen's ration, to change.
    #[wasm_bindgen(js_name = defaultRationQuestion)]
    pub fn default_ration_question(&self) -> Result<Ts<RationQuestion>, JsError> {
        Ok(RationQuestion::default().into_ts()?)
    }

    /// What to feed one pen in one week, from the feeds file, ready to draw.
    pub fn ration(
        &self,
        question: Ts<RationQuestion>,
        feeds: &Uint8Array,
    ) -> Result<Ts<RationReply>, JsError> {
        Ok(ration(&question.to_rust()?, &feeds.to_vec()).into_reply().into_ts()?)
    }

    /// The same as the JSON document that the command line prints.
    #[wasm_bindgen(js_name = rationJson)]
    pub fn ration_json(&self, question: Ts<RationQuestion>, feeds: &Uint8Array) -> Result<String, JsError> {
        Ok(ration(&question.to_rust()?, &feeds.to_vec()).to_json())
    }

    /// The last sort as the JSON document that the command line prints.
    #[wasm_bindgen(js_name = documentJson)]
    pub fn document_json(&self) -> Option<String> {
        self.farm.as_ref().map(Farm::document_json)
    }

    /// The list of one pen of the last sort as CSV, or of all pens where no name is given.
    #[wasm_bindgen(js_name = penCsv)]
    pub fn pen_csv(&self, pen: Option<String>) -> Option<String> {
        self.farm.as_ref().and_then(|farm| farm.pen_csv(pen.as_deref()))
    }
}
