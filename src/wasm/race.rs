//! The race and its journal as the page sees them: translation only, no logic.

use crate::farm::journal::{AppendReply, LookRequest, Now, TakeReply, UndoRequest};
use crate::farm::race::{
    BackupMark, BackupWords, BringReply, BringRequest, Bringing, Card, DivideRequest, Divided, Gate, Given,
    LeaveRequest, Left, LookedUp, Moved, MovedRequest, OpenRequest, Race, RaceRequest, RaceSettings,
    RaceView, Restored, Stands,
};
use js_sys::Uint8Array;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// One journal, and the race that is entered into it.
#[wasm_bindgen]
#[derive(Default)]
pub struct RaceEngine {
    race: Race,
}

#[wasm_bindgen]
impl RaceEngine {
    /// A journal with nothing in it.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Self {
        Self::default()
    }

    /// Reads the next lines of what is stored.
    pub fn hear(&mut self, lines: &str) {
        self.race.hear(lines.as_bytes());
    }

    /// Takes in all that was heard.
    #[wasm_bindgen(js_name = takeHeard)]
    pub fn take_heard(&mut self) -> Result<Ts<TakeReply>, JsError> {
        Ok(self.race.take_heard().into_ts()?)
    }

    /// Puts the journal away, to be opened anew from what is stored.
    pub fn forget(&mut self) {
        self.race.forget();
    }

    /// The race's settings until somebody changes them.
    pub fn usual(&self, now: Ts<Now>) -> Result<Ts<RaceSettings>, JsError> {
        Ok(RaceSettings::usual(now.to_rust()?).into_ts()?)
    }

    /// What of the settings still holds.
    pub fn still(&self, settings: Ts<RaceSettings>, now: Ts<Now>) -> Result<Ts<RaceSettings>, JsError> {
        Ok(settings.to_rust()?.still(now.to_rust()?).into_ts()?)
    }

    /// Opens the race, or opens it anew.
    pub fn open(&mut self, request: Ts<OpenRequest>) -> Result<Ts<RaceView>, JsError> {
        Ok(self.race.open(&request.to_rust()?).into_ts()?)
    }

    /// Opens the race with what the gate shows, before the draft is made.
    pub fn begin(&mut self, request: Ts<OpenRequest>) -> Result<Ts<RaceView>, JsError> {
        Ok(self.race.begin(&request.to_rust()?).into_ts()?)
    }

    /// What the screen shows beside the ewe.
    pub fn view(&self, device: &str, now: Ts<Now>) -> Result<Ts<RaceView>, JsError> {
        Ok(self.race.view(device, now.to_rust()?).into_ts()?)
    }

    /// Who stands there, and her card with what is on record.
    pub fn look(&self, request: Ts<LookRequest>) -> Result<Ts<LookedUp>, JsError> {
        Ok(self.race.look(&request.to_rust()?).into_ts()?)
    }

    /// The next running number that no ewe has.
    #[wasm_bindgen(js_name = nextNumber)]
    pub fn next_number(&self) -> String {
        self.race.next_number()
    }

    /// The pen for the ewe whose card this is.
    pub fn answer(&mut self, card: Ts<Card>) -> Result<Ts<Gate>, JsError> {
        Ok(self.race.answer(&card.to_rust()?).into_ts()?)
    }

    /// Seats whoever came and plans the rest anew: between two ewes.
    #[wasm_bindgen(js_name = catchUp)]
    pub fn catch_up(&mut self) {
        self.race.catch_up();
    }

    /// Enters a card.
    pub fn enter(&mut self, request: Ts<RaceRequest>) -> Result<Ts<Given>, JsError> {
        Ok(self.race.enter(&request.to_rust()?).into_ts()?)
    }

    /// Undoes an act, or brings it back.
    pub fn undo(&mut self, request: Ts<UndoRequest>) -> Result<Ts<AppendReply>, JsError> {
        Ok(self.race.undo(&request.to_rust()?).into_ts()?)
    }

    /// Who stands where.
    pub fn stands(&self) -> Result<Ts<Stands>, JsError> {
        Ok(self.race.stands().into_ts()?)
    }

    /// Sorts the ewes behind each way of the gate into the pens behind it.
    pub fn divide(&mut self, request: Ts<DivideRequest>) -> Result<Ts<Divided>, JsError> {
        Ok(self.race.divide(&request.to_rust()?).into_ts()?)
    }

    /// Takes ewes out of the pens that they stand in.
    pub fn leave(&mut self, request: Ts<LeaveRequest>) -> Result<Ts<Left>, JsError> {
        Ok(self.race.leave(request.to_rust()?).into_ts()?)
    }

    /// Enters moves that were made after the race.
    pub fn moved(&mut self, request: Ts<MovedRequest>) -> Result<Ts<Moved>, JsError> {
        Ok(self.race.moved(request.to_rust()?).into_ts()?)
    }

    /// Brings lists in.
    pub fn bring(
        &mut self,
        request: Ts<BringRequest>,
        flock: Option<Uint8Array>,
        pens: Option<Uint8Array>,
        groups: Option<Uint8Array>,
    ) -> Result<Ts<BringReply>, JsError> {
        let [flock, pens, groups] = [flock, pens, groups].map(|file| file.map(|bytes| bytes.to_vec()));
        let files = Bringing { flock: flock.as_deref(), pens: pens.as_deref(), groups: groups.as_deref() };
        Ok(self.race.bring(request.to_rust()?, files).into_ts()?)
    }

    /// Restores a backup, or takes over what another device entered.
    pub fn restore(&mut self, bytes: &Uint8Array, sure: bool) -> Result<Ts<Restored>, JsError> {
        Ok(self.race.restore(&bytes.to_vec(), sure).into_ts()?)
    }

    /// The whole journal as its file.
    pub fn file(&self) -> String {
        self.race.book().file()
    }

    /// The flock list that a sort reads, CSV.
    #[wasm_bindgen(js_name = flockCsv)]
    pub fn flock_csv(&self) -> String {
        self.race.flock_csv()
    }

    /// The pens that a sort reads, CSV; nothing where none was described.
    #[wasm_bindgen(js_name = pensCsv)]
    pub fn pens_csv(&self) -> Option<String> {
        self.race.book().pens_csv()
    }

    /// The mating groups that a sort reads, CSV; nothing where none was described.
    #[wasm_bindgen(js_name = groupsCsv)]
    pub fn groups_csv(&self) -> Option<String> {
        self.race.book().groups_csv()
    }

    /// How old the last backup is.
    #[wasm_bindgen(js_name = backupAge)]
    pub fn backup_age(&self, mark: Option<Ts<BackupMark>>, now: Ts<Now>) -> Result<Ts<BackupWords>, JsError> {
        let mark = mark.map(|mark| mark.to_rust()).transpose()?;
        let events = self.race.book().size().0 as u64;
        Ok(BackupMark::age(mark, events, now.to_rust()?).into_ts()?)
    }
}
