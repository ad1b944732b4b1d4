//! The race: one ewe stands there, her pen is told at once, and what was seen of her is entered.
//!
//! The rule by which a pen is told is a simple one. What is expected (the ewes on record, and invented ones for
//! those of whom nothing is known yet) is sorted into the pens before the first ewe comes. That gives each pen a
//! level. A ewe goes to the pen whose level misses her need least, as long as it has a place for her; then to
//! the next. The levels stay as they are until the race is opened anew.
//!
//! | file | what |
//! |---|---|
//! | `card` | what is written of the ewe who stands there, and entering it |
//! | `ground` | the pens, and the levels that the sort of what is expected gives them |
//! | `answer` | the pen for her, why, and the next best |
//! | `view` | what the screen shows beside her: pens, tally, rate, last acts |
//! | `bring` | lists brought into the journal |
//! | `keep` | backup and restore: whose journal it is, what is new, how old the backup is |

mod answer;
mod bring;
mod card;
mod ground;
mod keep;
mod view;

pub use answer::{Gate, RunnerUp};
pub use bring::{BringReply, BringRequest, Bringing};
pub use card::{Card, Given, LookedUp, OpenRequest, RaceRequest, RaceSettings};
pub use keep::{BackupMark, BackupWords, Restored};
pub use view::{PenFill, RaceView, TallyLine};

use crate::farm::journal::{AppendReply, AppendRequest, Book, LookRequest, Now, UndoRequest};
use crate::problem::Problem;
use ground::Ground;
use std::collections::BTreeMap;

/// A race under way: the journal, and the pens as they fill.
#[derive(Debug, Default)]
pub struct Race {
    book: Book,
    settings: Option<RaceSettings>,
    /// The pens with their levels; nothing where none are known.
    ground: Option<Ground>,
    /// Why there are no levels, where there are none.
    unplanned: Vec<Problem>,
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

    /// Puts everything away.
    pub fn forget(&mut self) {
        *self = Self { settings: self.settings.take(), ..Self::default() };
    }

    /// Opens the race, or opens it anew: what is expected is sorted, each pen gets its level.
    pub fn open(&mut self, request: &OpenRequest) -> RaceView {
        self.settings = Some(request.settings.clone());
        self.reopen();
        self.view(&request.device, request.now)
    }

    /// What the screen shows beside the ewe.
    pub fn view(&self, device: &str, now: Now) -> RaceView {
        view::view(self, device, now)
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
    pub fn answer(&self, card: &Card) -> Gate {
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
        // What was undone may be a pen, a list or one entry: rooms are reckoned again, the levels stay.
        let pens = self.ground.as_ref().map(|ground| ground.names());
        if pens == ground::names(&self.book) {
            self.stand_anew();
        } else {
            self.reopen();
        }
        reply
    }

    /// Brings lists into the journal.
    pub fn bring(&mut self, request: BringRequest, files: Bringing<'_>) -> BringReply {
        let reply = bring::bring(&mut self.book, request, files);
        self.reopen();
        reply
    }

    /// Restores a backup, or takes over what another device entered.
    pub fn restore(&mut self, bytes: &[u8], sure: bool) -> Restored {
        let restored = keep::restore(&mut self.book, bytes, sure);
        self.reopen();
        restored
    }

    fn reopen(&mut self) {
        let Some(settings) = &self.settings else { return };
        match ground::lay(&self.book, settings) {
            Ok(ground) => (self.ground, self.unplanned) = (Some(ground), Vec::new()),
            Err(problems) => (self.ground, self.unplanned) = (None, problems),
        }
        self.stand_anew();
    }

    fn stand_anew(&mut self) {
        let Some(ground) = &self.ground else {
            self.stands.clear();
            return;
        };
        self.stands = self
            .book
            .journal()
            .state()
            .ewes()
            .filter_map(|ewe| Some((ewe.called(), ground.stand(ewe)?)))
            .collect();
    }

    fn stand(&mut self, called: &str, name: &crate::journal::Name) {
        let Some(ground) = &self.ground else { return };
        let stand = self.book.journal().state().find(name).and_then(|ewe| ground.stand(ewe));
        match stand {
            Some(stand) => self.stands.insert(called.to_owned(), stand),
            None => self.stands.remove(called),
        };
    }
}
