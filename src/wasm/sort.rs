//! The sort, its ewes and its proof, and what one ewe needs, as the page sees them: translation only, no logic.

use super::Copied;
use crate::farm::need::{NeedQuestion, NeedReply};
use crate::farm::settings::Settings;
use crate::farm::view::{EweView, MoveReply, PickedView, ProofView, SortReply};
use crate::farm::{Certificate, Farm, Files};
use js_sys::Uint8Array;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// One flock and its pens, sorted on request.
#[wasm_bindgen]
#[derive(Default)]
pub struct SortEngine {
    farm: Option<Farm>,
    /// The proof of it.
    proving: Proving,
}

/// How far the proof of the last sort is.
#[derive(Default)]
enum Proving {
    /// There is nothing to prove, or nothing more.
    #[default]
    Nothing,
    /// Not begun: whoever waits for the sort does not wait for its proof.
    Due,
    /// Begun.
    UnderWay(Box<Certificate>),
}

#[wasm_bindgen]
impl SortEngine {
    /// An engine with no flock yet.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
    }

    /// Reads the files, sets faulty rows aside, and sorts the rest.
    pub fn sort(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
    ) -> Result<Ts<SortReply>, JsError> {
        let copied = Copied::new(flock, pens, groups.as_ref());
        let Files { flock, pens, groups } = copied.files();
        let (farm, reply) = Farm::sort(flock, pens, groups, &settings.to_rust()?);
        self.farm = farm;
        self.proving = Proving::Due;
        Ok(reply.into_ts()?)
    }

    /// Takes the proof of the last sort one step on; nothing where there is none to do.
    #[wasm_bindgen(js_name = proveStep)]
    pub fn prove_step(&mut self) -> Result<Option<Ts<ProofView>>, JsError> {
        let Some(farm) = &mut self.farm else { return Ok(None) };
        if matches!(self.proving, Proving::Due) {
            self.proving =
                farm.certificate().map_or(Proving::Nothing, |new| Proving::UnderWay(Box::new(new)));
        }
        let Proving::UnderWay(certificate) = &mut self.proving else { return Ok(None) };
        certificate.step();
        let proof = farm.take_proof(certificate);
        if proof.is_done {
            self.proving = Proving::Nothing;
        }
        Ok(Some(proof.into_ts()?))
    }

    /// One ewe of the last sort, opened; nothing where there is no such ewe.
    pub fn ewe(&self, tag: &str) -> Result<Option<Ts<EweView>>, JsError> {
        let ewe = self.farm.as_ref().and_then(|farm| farm.ewe(tag));
        Ok(ewe.map(|ewe| ewe.into_ts()).transpose()?)
    }

    /// A ewe picked up: what putting her into each pen would mean; nothing where there is no such ewe.
    pub fn picked(&self, tag: &str) -> Result<Option<Ts<PickedView>>, JsError> {
        let picked = self.farm.as_ref().and_then(|farm| farm.picked(tag));
        Ok(picked.map(|picked| picked.into_ts()).transpose()?)
    }

    /// Puts a ewe into a pen, nobody else moving; nothing where nothing is sorted.
    #[wasm_bindgen(js_name = putInto)]
    pub fn put_into(&mut self, tag: &str, pen: &str) -> Result<Option<Ts<MoveReply>>, JsError> {
        let reply = self.farm.as_mut().map(|farm| farm.put_into(tag, pen));
        self.proving = Proving::Due;
        Ok(reply.map(|reply| reply.into_ts()).transpose()?)
    }

    /// Takes the last move by hand back; nothing where there is none.
    #[wasm_bindgen(js_name = takeBack)]
    pub fn take_back(&mut self) -> Result<Option<Ts<MoveReply>>, JsError> {
        let reply = self.farm.as_mut().and_then(Farm::take_back);
        self.proving = Proving::Due;
        Ok(reply.map(|reply| reply.into_ts()).transpose()?)
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

    /// All pens' lists of the last sort as a spreadsheet file; nothing where nothing is sorted.
    #[wasm_bindgen(js_name = penWorkbook)]
    pub fn pen_workbook(&self) -> Option<Vec<u8>> {
        self.farm.as_ref().map(Farm::workbook)
    }
}
