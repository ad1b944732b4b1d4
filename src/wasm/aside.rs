//! Questions that take long and need no sort, as the page sees them: translation only, no logic.

use super::Copied;
use crate::farm::card::{self, CardReply, CardRequest, CardSheet};
use crate::farm::pen_count::{self, PenCountDocument, PenCountReply};
use crate::farm::plan::{self, PlanFiles, PlanQuestion, PlanReply, Planned};
use crate::farm::ration::{RationQuestion, RationReply, Trying, ration, trying};
use crate::farm::regroup::{self, RegroupReply, RegroupView, Regrouped};
use crate::farm::settings::Settings;
use crate::farm::{DemoFiles, DemoOldPens, Farm, FaultyRows};
use js_sys::Uint8Array;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// Regrouping, rule cards, numbers of pens, and feeding.
#[wasm_bindgen]
#[derive(Default)]
pub struct AsideEngine {
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

/// A sorted farm with what it was sorted from.
struct Fed {
    files: Copied,
    settings: Settings,
    farm: Box<Farm>,
}

#[wasm_bindgen]
impl AsideEngine {
    /// An engine that was asked nothing yet.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
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
}
