//! The engine as the page sees it: translation only, no logic.
//!
//! Every method takes and returns typed values; the page's TypeScript types are generated from them. The race and
//! its journal have an engine of their own, in `wasm/race.rs`.

mod race;

use crate::farm::card::{self, CardReply, CardRequest, CardSheet};
use crate::farm::need::{NeedQuestion, NeedReply};
use crate::farm::pen_count::{self, PenCountDocument, PenCountReply};
use crate::farm::plan::{self, PlanFiles, PlanQuestion, PlanReply, Planned};
use crate::farm::ration::{RationQuestion, RationReply, Trying, ration, trying};
use crate::farm::regroup::{self, RegroupReply, RegroupView, Regrouped};
use crate::farm::settings::Settings;
use crate::farm::view::{EweView, MoveReply, PickedView, ProofView, SortReply};
use crate::farm::{Certificate, DemoFiles, DemoOldPens, Farm, FaultyRows, Files};
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
    /// The proof of it.
    proving: Proving,
    /// The last curve of regrouping.
    regrouped: Option<Regrouped>,
    /// The last card.
    card: Option<CardSheet>,
    /// The last answer about numbers of pens.
    pen_count: Option<PenCountDocument>,
    /// The last feeding plan.
    planned: Option<Planned>,
    /// The farm that was last planned for: another wish for the same pens needs no sort.
    fed: Option<Fed>,
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

/// A sorted farm with what it was sorted from.
struct Fed {
    files: Copied,
    settings: Settings,
    farm: Box<Farm>,
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

    /// Which moves are worth making from where the ewes stand by these lists.
    pub fn regroup(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
        lists: Vec<Uint8Array>,
    ) -> Result<Ts<RegroupReply>, JsError> {
        let copied = Copied::new(flock, pens, groups.as_ref());
        let lists: Vec<Vec<u8>> = lists.iter().map(Uint8Array::to_vec).collect();
        let lists: Vec<&[u8]> = lists.iter().map(Vec::as_slice).collect();
        let (regrouped, reply) = regroup::reply(copied.files(), &lists, &settings.to_rust()?);
        self.regrouped = regrouped;
        Ok(reply.into_ts()?)
    }

    /// The last curve with the moves of another point listed; nothing where there is none.
    #[wasm_bindgen(js_name = regroupMoves)]
    pub fn regroup_moves(&mut self, moves: u32) -> Result<Option<Ts<RegroupView>>, JsError> {
        let view = self.regrouped.as_mut().map(|regrouped| {
            regrouped.list_moves(moves as usize);
            regrouped.view()
        });
        Ok(view.map(|view| view.into_ts()).transpose()?)
    }

    /// The last curve as the JSON document that the command line prints.
    #[wasm_bindgen(js_name = regroupJson)]
    pub fn regroup_json(&self) -> Option<String> {
        self.regrouped.as_ref().map(Regrouped::document_json)
    }

    /// Where the invented demo's ewes stood before, as invented as they are.
    #[wasm_bindgen(js_name = demoOldPens)]
    pub fn demo_old_pens(&self) -> Result<Option<Ts<DemoOldPens>>, JsError> {
        Ok(DemoOldPens::new().map(|old| old.into_ts()).transpose()?)
    }

    /// Finds a rule card for a flock, or tries one.
    pub fn card(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
        request: Ts<CardRequest>,
    ) -> Result<Ts<CardReply>, JsError> {
        let copied = Copied::new(flock, pens, groups.as_ref());
        let (sheet, reply) = card::reply(copied.files(), &settings.to_rust()?, &request.to_rust()?);
        self.card = sheet;
        Ok(reply.into_ts()?)
    }

    /// The last card as the JSON document that the command line prints.
    #[wasm_bindgen(js_name = cardJson)]
    pub fn card_json(&self) -> Option<String> {
        self.card.as_ref().map(CardSheet::document_json)
    }

    /// What each number of the pens comes to: of those that stand, or of equal ones yet to be built.
    #[wasm_bindgen(js_name = penCount)]
    pub fn pen_count(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
        are_built: bool,
    ) -> Result<Ts<PenCountReply>, JsError> {
        let copied = Copied::new(flock, pens, groups.as_ref());
        let (document, reply) = pen_count::reply(copied.files(), are_built, &settings.to_rust()?);
        self.pen_count = document;
        Ok(reply.into_ts()?)
    }

    /// The same as the JSON document that the command line prints.
    #[wasm_bindgen(js_name = penCountJson)]
    pub fn pen_count_json(&self) -> Option<String> {
        self.pen_count.as_ref().map(PenCountDocument::to_json)
    }

    /// A usual question about a feeding plan, to change.
    #[wasm_bindgen(js_name = usualPlan)]
    pub fn usual_plan(&self) -> Result<Ts<PlanQuestion>, JsError> {
        Ok(PlanQuestion::default().into_ts()?)
    }

    /// The invented demo's feeds, CSV.
    #[wasm_bindgen(js_name = demoFeeds)]
    pub fn demo_feeds(&self) -> String {
        DemoFiles::feeds().to_owned()
    }

    /// Plans the feeding to the last lambing.
    // The boundary takes files one by one; an object of them would be one more type in the page.
    #[allow(clippy::too_many_arguments)]
    #[wasm_bindgen(js_name = feedingPlan)]
    pub fn feeding_plan(
        &mut self,
        flock: &Uint8Array,
        pens: &Uint8Array,
        groups: Option<Uint8Array>,
        settings: Ts<Settings>,
        feeds: &Uint8Array,
        loads: Option<Uint8Array>,
        question: Ts<PlanQuestion>,
    ) -> Result<Ts<PlanReply>, JsError> {
        let copied = Copied::new(flock, pens, groups.as_ref());
        let feeds = feeds.to_vec();
        let loads = loads.map(|loads| loads.to_vec());
        let own = PlanFiles { feeds: &feeds, lists: &[], loads: loads.as_deref() };
        let (settings, question) = (settings.to_rust()?, question.to_rust()?);
        if self.fed.as_ref().is_none_or(|fed| fed.files != copied || fed.settings != settings) {
            self.fed = match plan::sorted(copied.files(), &settings, FaultyRows::SetAside) {
                Ok(farm) => Some(Fed { files: copied, settings, farm }),
                Err(answer) => {
                    (self.fed, self.planned) = (None, None);
                    return Ok(answer.into_parts().1.into_ts()?);
                }
            };
        }
        let Some(fed) = &self.fed else { return Err(JsError::new("there is no farm")) };
        let (planned, reply) = fed.farm.plan(own, &question).into_parts();
        self.planned = planned;
        Ok(reply.into_ts()?)
    }

    /// The last plan's load sheet as CSV; nothing where there is none.
    #[wasm_bindgen(js_name = loadCsv)]
    pub fn load_csv(&self) -> Option<String> {
        self.planned.as_ref().map(Planned::load_csv)
    }

    /// The last plan's feeds by month as CSV; nothing where there is none.
    #[wasm_bindgen(js_name = ordersCsv)]
    pub fn orders_csv(&self) -> Option<String> {
        self.planned.as_ref().map(Planned::orders_csv)
    }

    /// The last plan's load sheet and feeds by month as a spreadsheet file; nothing where there is none.
    #[wasm_bindgen(js_name = planWorkbook)]
    pub fn plan_workbook(&self) -> Option<Vec<u8>> {
        self.planned.as_ref().map(Planned::workbook)
    }

    /// A usual question about a ration, to change.
    #[wasm_bindgen(js_name = usualRation)]
    pub fn usual_ration(&self) -> Result<Ts<RationQuestion>, JsError> {
        Ok(RationQuestion::default().into_ts()?)
    }

    /// The feeds of a file, and what may be tried on them.
    pub fn trying(&self, feeds: &Uint8Array) -> Result<Ts<Trying>, JsError> {
        Ok(trying(&feeds.to_vec()).into_ts()?)
    }

    /// What to feed one pen in one week.
    pub fn ration(
        &self,
        feeds: &Uint8Array,
        question: Ts<RationQuestion>,
    ) -> Result<Ts<RationReply>, JsError> {
        Ok(ration(&question.to_rust()?, &feeds.to_vec()).into_reply().into_ts()?)
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
