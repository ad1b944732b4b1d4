//! The race: one ewe stands there, her pen is told at once, and what was seen of her is entered.
//!
//! Her pen is told by the draft that learns (`sort::draft`), the same that the command line runs over a list. What
//! was on record before the race is its prior; whoever came since is seated in it, read from the fold of the
//! journal, so that undo, changes, overruled pens and other devices' entries need no care of their own. Seating
//! and planning anew come after the answer, between two ewes ([`Race::catch_up`]).
//!
//! | file | what |
//! |---|---|
//! | `card` | what is written of the ewe who stands there, and entering it |
//! | `ground` | what the draft starts from: pens, settings, what was on record before the race |
//! | `seats` | where the ewes who came stand, from the fold of the journal |
//! | `drafting` | the draft seated so |
//! | `answer` | the pen for her, why, and the next best |
//! | `words` | whom she joins, and what all of it stands on |
//! | `gate` | gates with fewer ways than pens |
//! | `view` | what the screen shows beside her: pens, tally, rate, last acts |
//! | `after` | once all are in: who stands where; dividing what came through one way of a gate |
//! | `moved` | moves made afterwards, in the room of moves |
//! | `leave` | ewes who left their pens |
//! | `bring` | lists brought into the journal |
//! | `keep` | backup and restore: whose journal it is, what is new, how old the backup is |

mod after;
mod answer;
mod bring;
mod card;
mod drafting;
mod gate;
mod ground;
mod keep;
mod leave;
mod moved;
mod seats;
mod view;
mod words;

pub use after::{DivideRequest, Divided, PenSheet, SheetRow, Stands};
pub use answer::{Gate, RunnerUp};
pub use bring::{BringReply, BringRequest, Bringing, ListOf};
pub use card::{Card, Given, LookedUp, OpenRequest, RaceRequest, RaceSettings};
pub use gate::{Way, WayPens};
pub use keep::{BackupMark, BackupWords, Restored};
pub use leave::{LeaveRequest, Left};
pub use moved::{MoveMade, Moved, MovedRequest};
pub use view::{PenFill, RaceView, TallyLine};

use crate::day::Day;
use crate::farm::journal::season::{self, Season};
use crate::farm::journal::{AppendReply, AppendRequest, Book, LookRequest, Now, Standpoint, UndoRequest};
use crate::io::JournalReader;
use crate::problem::Problem;
use drafting::Drafting;
use ground::Ground;
use std::collections::BTreeMap;

/// A race under way: the journal, and the pens as they fill.
#[derive(Debug, Default)]
pub struct Race {
    book: Book,
    /// What was heard of a journal and not yet taken in.
    heard: JournalReader,
    settings: Option<RaceSettings>,
    /// The first day of the race.
    since: Option<Day>,
    /// Its season: what was entered in earlier ones is no record now.
    season: Option<Season>,
    /// The device that asks.
    device: String,
    /// What the draft starts from; nothing where no pens are known.
    ground: Option<Ground>,
    /// Why there is none, where there is none.
    unplanned: Vec<Problem>,
    /// The draft; nothing until it is first asked for.
    drafting: Option<Drafting>,
    /// Whether the journal holds what the draft has not seen.
    behind: bool,
    /// The draft without a ewe who was sent to a pen and stands at the gate again, and which ewe.
    without: Option<(String, Drafting)>,
    /// The last card that was asked about, and what was told.
    told: Option<(Card, Gate)>,
    /// Where each ewe stands, by what she is called: the pen's place, and her room in it.
    stands: BTreeMap<String, (usize, [u64; 2])>,
}

impl Race {
    /// A race with nothing entered.
    pub fn new() -> Self {
        Self::default()
    }

    /// The journal.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Takes in a journal's file, or lines from the store. See [`Book::take`].
    pub fn take(&mut self, bytes: &[u8]) -> crate::farm::journal::TakeReply {
        let reply = self.book.take(bytes);
        self.reopen();
        reply
    }

    /// Reads the next lines of what is stored, while others are fetched; they are taken in by [`Self::take_heard`].
    pub fn hear(&mut self, lines: &[u8]) {
        self.heard.read(lines);
    }

    /// Takes in all that was heard.
    pub fn take_heard(&mut self) -> crate::farm::journal::TakeReply {
        let reply = self.book.take_read(std::mem::take(&mut self.heard).end());
        self.reopen();
        reply
    }

    /// Puts everything away.
    pub fn forget(&mut self) {
        *self = Self { settings: self.settings.take(), ..Self::default() };
    }

    /// Opens the race, or opens it anew.
    pub fn open(&mut self, request: &OpenRequest) -> RaceView {
        self.settle(request);
        self.catch_up();
        self.view(&request.device, request.now)
    }

    /// Opens the race at once, with what the gate shows: ewes can be read. The draft is made by the next
    /// [`Self::catch_up`], or by the first question that needs it.
    pub fn begin(&mut self, request: &OpenRequest) -> RaceView {
        self.settle(request);
        view::view(self, &request.device, request.now, false)
    }

    fn settle(&mut self, request: &OpenRequest) {
        let settings = request.settings.still(request.now);
        self.since = Some(settings.on.min(request.now.day()));
        self.settings = Some(settings);
        self.device.clone_from(&request.device);
        self.reopen();
    }

    /// What the screen shows beside the ewe.
    pub fn view(&self, device: &str, now: Now) -> RaceView {
        view::view(self, device, now, true)
    }

    /// Who stands there, and her card with what is on record.
    pub fn look(&self, request: &LookRequest) -> LookedUp {
        card::look(self, request)
    }

    /// The next running number that no ewe has as her tag: `no. 7`.
    pub fn next_number(&self) -> String {
        card::next_number(self)
    }

    /// The pen for the ewe whose card this is.
    pub fn answer(&mut self, card: &Card) -> Gate {
        answer::answer(self, card)
    }

    /// Enters a card. Nothing is entered where a question comes back.
    pub fn enter(&mut self, request: &RaceRequest) -> Given {
        card::enter(self, request)
    }

    /// Enters anything else that somebody saw or decided.
    pub fn append(&mut self, request: AppendRequest) -> AppendReply {
        let reply = self.book.append(request);
        self.reopen();
        reply
    }

    /// Undoes an act, or brings it back.
    pub fn undo(&mut self, request: &UndoRequest) -> AppendReply {
        let reply = self.book.undo(request);
        self.reopen();
        reply
    }

    /// Who stands where: pen lists, and what the moves are worked out from.
    pub fn stands(&self) -> Stands {
        after::stands(self)
    }

    /// Sorts the ewes behind each way of the gate into the pens behind it, and enters the pens that change.
    pub fn divide(&mut self, request: &DivideRequest) -> Divided {
        after::divide(self, request)
    }

    /// Takes ewes out of the pens that they stand in.
    pub fn leave(&mut self, request: LeaveRequest) -> Left {
        leave::leave(self, request)
    }

    /// This race's ewes as the flock list that a sort reads, CSV; all of the journal where no race was opened.
    pub fn flock_csv(&self) -> String {
        self.since.map_or_else(|| self.book.flock_csv(), |since| self.book.flock_csv_on(since))
    }

    /// From where the journal is looked at.
    fn standpoint(&self) -> Standpoint<'_> {
        let here = self.since.map(|_| self.device.as_str());
        Standpoint { here, season: self.season.as_ref() }
    }

    /// Enters moves that were made after the race.
    pub fn moved(&mut self, request: MovedRequest) -> Moved {
        moved::moved(self, request)
    }

    /// Brings lists into the journal.
    pub fn bring(&mut self, request: BringRequest, files: Bringing<'_>) -> BringReply {
        let today = request.now.day();
        let on = self.settings.as_ref().map_or(today, |settings| settings.still(request.now).on);
        let since = self.since.filter(|since| !season::is_over(*since, today)).unwrap_or(today);
        let reply = bring::bring(&mut self.book, since, on, request, files);
        self.reopen();
        reply
    }

    /// Restores a backup, or takes over what another device entered.
    pub fn restore(&mut self, bytes: &[u8], sure: bool) -> Restored {
        let restored = keep::restore(&mut self.book, bytes, sure);
        self.reopen();
        restored
    }

    /// Seats whoever came since, and plans the rest anew: to be called between two ewes, once the answer is on the
    /// screen. Whoever asks before that waits for it.
    pub fn catch_up(&mut self) {
        let Some(ground) = &self.ground else { return };
        if !self.behind && self.drafting.is_some() {
            return;
        }
        let seats = seats::of(&self.book, ground);
        // Who was sent anew goes on from the draft without her.
        let aside = self.without.take().filter(|(_, aside)| seats.starts_with(&aside.seats));
        match (&mut self.drafting, aside) {
            (_, Some((_, mut aside))) => {
                aside.go_on(ground, seats);
                self.drafting = Some(aside);
            }
            (Some(drafting), None) => drafting.go_on(ground, seats),
            (none, None) => *none = Some(Drafting::of(ground, seats, None)),
        }
        (self.behind, self.told) = (false, None);
    }

    /// The draft that a ewe is to be answered by: without herself, where she was sent before.
    fn drafting_for(&mut self, key: &str) -> Option<(&Ground, &Drafting)> {
        self.catch_up();
        let (ground, drafting) = (self.ground.as_ref()?, self.drafting.as_ref()?);
        if !drafting.seats.iter().any(|seat| seat.ewe.tag == key) {
            return Some((ground, drafting));
        }
        if self.without.as_ref().is_none_or(|(who, _)| who != key) {
            let others = drafting.seats.iter().filter(|seat| seat.ewe.tag != key).cloned().collect();
            self.without = Some((key.to_owned(), Drafting::of(ground, others, Some(drafting))));
        }
        self.without.as_ref().map(|(_, without)| (ground, without))
    }

    fn reopen(&mut self) {
        let (Some(settings), Some(since)) = (&self.settings, self.since) else { return };
        let season = self.season.insert(self.book.season(since));
        match ground::lay(&self.book, settings, since, season) {
            Ok(ground) => {
                if self.ground.as_ref().is_none_or(|before| !before.tells_as(&ground)) {
                    self.drafting = None;
                }
                (self.ground, self.unplanned) = (Some(ground), Vec::new());
            }
            Err(problems) => (self.ground, self.drafting, self.unplanned) = (None, None, problems),
        }
        (self.behind, self.told, self.without) = (true, None, None);
        self.stand_anew();
    }

    fn stand_anew(&mut self) {
        let Some(ground) = &self.ground else {
            self.stands.clear();
            return;
        };
        let seats = seats::of(&self.book, ground);
        self.stands =
            seats.into_iter().filter_map(|seat| Some((seat.called, (seat.place?, seat.room)))).collect();
    }

    /// A ewe was entered.
    fn stand(&mut self, called: &str, name: &crate::journal::Name) {
        self.behind = true;
        let Some(ground) = &self.ground else { return };
        let stand = self.book.journal().state().find(name).and_then(|ewe| seats::stand(ewe, ground));
        match stand {
            Some(stand) => self.stands.insert(called.to_owned(), stand),
            None => self.stands.remove(called),
        };
    }
}
