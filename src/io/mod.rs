//! Text and bytes from outside to records and problems, and back. Nothing after this room parses a string.
//!
//! | function | what it reads or writes |
//! |---|---|
//! | [`flock()`] | the flock list: one ewe a row |
//! | [`pens()`] | the pens: one a row |
//! | [`groups()`] | the mating groups: one a row |
//! | [`assignment()`] | which pen each ewe stands in: one a row, also our own pen lists |
//! | [`journal()`], [`JournalReader`], [`write_journal`] | what people saw and decided: one event a line |
//! | [`reader::name`] | what a tag reader or a keyboard sends: whom it means |
//! | [`loads()`] | what was loaded and left: one feed, pen and day a row |
//! | [`feeds()`] | the feeds on the farm: one a row |
//! | [`feed_table()`] | the feed table that comes with the engine |
//! | [`pen_list::write`] | any list, as CSV |
//! | [`workbook::write`] | lists, as a spreadsheet file (XLSX) |
//!
//! Files but the journal are CSV or XLSX, and their content tells which. CSV: UTF-8 or Windows-1252, with commas,
//! semicolons or tabs, with decimal points or commas. XLSX: the first visible sheet whose header has the columns that
//! are needed; cells as the spreadsheet shows them, dates by their format.
//! Columns may stand in any order and have any of several names. Whatever can be read two ways is refused or
//! asked, never guessed; every row that holds anything is either a record or named as faulty.
//!
//! # Codes of problems
//!
//! | code | about | what is wrong |
//! |---|---|---|
//! | `not-a-csv` | file | a PDF, an old spreadsheet file or anything else that is neither text nor XLSX |
//! | `workbook-damaged`, `workbook-locked` | file | an XLSX file that is cut short or garbled, or has a password |
//! | `workbook-too-large`, `workbook-no-table` | file | one that unpacks to far more than a list, or to no sheet of cells |
//! | `sheet-read`, `sheets-alike` | file | a note: which sheet was read; a warning: another could be meant as well |
//! | `read-as-windows-1252` | file | a note: the text was not UTF-8 |
//! | `empty-file`, `no-rows` | file | nothing in it, or nothing below the header |
//! | `column-missing`, `duplicate-column` | file | a column that is needed is not there, or is there twice |
//! | `wrong-unit` | file | a column is in a unit other than ours |
//! | `unknown-columns` | file | a note: columns that mean nothing to us |
//! | `date-order-unclear` | file | day first or month first: the column does not tell |
//! | `date-order-mixed` | file | a warning: dates of both orders stand in one file |
//! | `groups-file-missing` | file | mating groups are named, but no groups file was given |
//! | `broken-quotes`, `cell-count` | row | the row cannot be split into its cells |
//! | `tag-missing`, `duplicate-tag`, `duplicate-eid` | row | whom it is about is unclear |
//! | `tags-alike` | row | a warning: two tags differ only by zeros in front, case or blanks |
//! | `identifier-rounded`, `spreadsheet-error` | cell | a spreadsheet destroyed what stood there |
//! | `identifier-date`, `formula-without-result` | cell | it made a date of a name, or never worked the formula out |
//! | `eid-length`, `eid-maybe-rounded` | cell | a warning: the identifier looks damaged |
//! | `not-a-number`, `number-unclear` | cell | no figure, or one that can be read two ways |
//! | `out-of-range`, `unlikely` | cell | a figure that cannot be, or (a warning) hardly ever is |
//! | `condition-not-quarter` | cell | a condition score between the quarters |
//! | `litter-unknown`, `age-unknown`, `not-yes-or-no` | cell | a word that is not known |
//! | `feeding-unknown`, `floor-unknown`, `days-of-unknown` | cell | likewise |
//! | `not-a-date`, `date-no-such-day`, `date-year`, `date-two-digit-year` | cell | no date, or not a whole one |
//! | `date-day-number` | cell | a spreadsheet's count of days |
//! | `date-against-order` | cell | it can only be read in the order that the other dates do not have |
//! | `group-unknown`, `due-outside-group` | cell | no such group; (a warning) her day is far from her group's |
//! | `pen-missing`, `duplicate-pen`, `pens-alike` | row | a pen without a name, or a name twice, or (a warning) nearly so |
//! | `face-missing`, `face-twice`, `area-missing` | row | not exactly one feed face, or no floor |
//! | `corners-without-trough` | cell | corners are blocked where there is no trough |
//! | `pen-takes-none` | row | `only` and `not` leave no age class |
//! | `group-missing`, `duplicate-group`, `day-missing` | row | a mating group without its name or days |
//! | `days-reversed`, `long-window` | row | the last day comes first; (a warning) more than 60 days |
//! | `feed-missing`, `duplicate-feed`, `feed-unknown`, `price-missing` | row | a feed that cannot be told or costed |
//! | `analysis-undated`, `d-value-not-silage` | row | figures of an analysis that cannot be used |
//! | `load-missing`, `left-over-loaded` | row | a load without its kg, or with more left than was loaded |
//! | `tag-unknown`, `pen-unknown` | cell | an assignment names a ewe or a pen that is not there |
//! | `not-a-journal`, `journal-newer` | file | no line is an event; (a warning) a newer version wrote it |
//! | `line-unreadable` | line | a line of a journal that is cut short or garbled |
//! | `nothing-read`, `no-read`, `tag-too-long` | reading | the reader or the keyboard sent no name |
//! | `eid-not-an-animal`, `eid-test-code` | reading | an identifier, but no ewe's |
//! | `eid-out-of-range`, `eid-code-unknown` | reading | digits that cannot be an identifier |
//! | `eid-maker-code` | reading | a note: an identifier that is no official identity |

mod assignment;
mod column;
mod content;
mod date;
mod fault;
mod feed_table;
mod feeds;
mod flock;
mod groups;
mod header;
mod identity;
mod journal;
pub mod letters;
mod list;
mod loads;
mod number;
pub mod pen_list;
mod pens;
mod question;
mod range;
pub mod reader;
mod sheet;
mod table;
mod text;
mod words;
pub mod workbook;

pub use assignment::{Placed, assignment};
pub use feed_table::feed_table;
pub use feeds::feeds;
pub use flock::{FaultyRow, FlockReading, USUAL_KG, due_days, due_of_group, flock};
pub use groups::groups;
pub use journal::{JournalReader, JournalReading, journal, write_journal};
pub use list::{Holds, List};
pub use loads::{Loaded, loads};
pub use pens::pens;
pub use question::DateAmbiguity;
