//! Rule cards: what a person can apply at the race without the tablet.
//!
//! A card asks for what is in the hand: lambs carried, condition, the mark's colour or the due date, and the
//! weight where a crate is used. Either each gives points and the pens are cut on the sum, or at most three
//! questions are asked. Ewe lambs kept apart have a line of their own.
//!
//! | file | what |
//! |---|---|
//! | `feature` | what a card may ask of a ewe, and the bands that a card is found with |
//! | `write`, `read` | the card as text that people may edit |
//! | `check` | ewes for whom no line or two lines apply; pens that there are not |
//! | `find` | the best card for a flock |
//! | `run` | the flock sorted by a card, as a person would |
//! | `judge` | how good that is, here and on ewes that the card was not found with |

pub mod check;
pub mod feature;
pub mod find;
pub mod judge;
mod read;
pub mod run;
mod write;

pub use feature::{Feature, Span};
pub use read::read;
pub use write::{days_words, points_words, span_words, write};

/// Where a line stands in a card's text. Two cards are the same wherever their lines stand.
#[derive(Debug, Clone, Copy, Default, Eq)]
pub struct Row(pub u32);

impl PartialEq for Row {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// A card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    /// The rules.
    pub rules: Rules,
    /// The pens, the poorest ration first: where one is full the next takes over.
    pub pens: Vec<String>,
    /// Where that line stands.
    pub pens_row: Row,
    /// The pens of ewe lambs that are kept apart, in the order in which they are filled; empty where the card
    /// has no line for them.
    pub ewe_lambs: Vec<String>,
    /// Where that line stands.
    pub ewe_lambs_row: Row,
}

/// A card's rules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Rules {
    /// Points, and pens cut on their sum.
    Points {
        /// What gives points.
        lines: Vec<PointLine>,
        /// Which sums go to which pen.
        totals: Vec<TotalLine>,
    },
    /// Questions, the first of them asked first.
    Tree {
        /// The questions.
        questions: Vec<Question>,
    },
}

/// A line that gives points.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PointLine {
    /// What is looked at.
    pub feature: Feature,
    /// Whom the line is for.
    pub span: Span,
    /// A name for the span, such as a mark's colour; empty where it has none.
    pub label: String,
    /// Points in halves: 3 is a point and a half.
    pub half_points: i32,
    /// Where the line stands.
    pub row: Row,
}

/// A line that sends sums to a pen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TotalLine {
    /// Sums in half points.
    pub span: Span,
    /// The pen.
    pub pen: String,
    /// Where the line stands.
    pub row: Row,
}

/// A yes/no question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Its number on the card.
    pub number: u32,
    /// What is looked at.
    pub feature: Feature,
    /// The answer is yes within this span.
    pub span: Span,
    /// A name for the span; empty where it has none.
    pub label: String,
    /// Where yes leads.
    pub yes: Branch,
    /// Where no leads.
    pub no: Branch,
    /// Where the line stands.
    pub row: Row,
}

/// Where an answer leads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Branch {
    /// To another question, by its number.
    Question(u32),
    /// To a pen.
    Pen(String),
}

/// What kind of card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Points for what is known of her, pens cut on the sum.
    #[default]
    Points,
    /// At most three yes/no questions.
    Tree,
}

impl Card {
    /// What kind of card it is.
    pub const fn kind(&self) -> Kind {
        match self.rules {
            Rules::Points { .. } => Kind::Points,
            Rules::Tree { .. } => Kind::Tree,
        }
    }
}
