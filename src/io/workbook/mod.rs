//! Spreadsheet files (XLSX: ECMA-376, Office Open XML) to tables of cells, and lists to spreadsheet files.
//!
//! | file | what it knows |
//! |---|---|
//! | `archive` | the container, read (ZIP: APPNOTE 6.3); `crc` its check sums |
//! | `markup` | the markup of its parts (XML 1.0) |
//! | `book` | which parts are sheets, strings and styles |
//! | `form` | what a number format makes of a number: a date, a percentage, a number with zeros in front |
//! | `cell`, `rows` | one cell's text, and the rows of a sheet |
//! | `write`, `pack`, `deflate` | a list as a workbook, its container, and what packs it |
//!
//! This is our own reader because a general one carries more into the page than the whole of the sort weighs; the
//! tests hold it to such a one cell by cell. Whatever the bytes, reading ends: parts are unpacked under limits, no
//! declaration of a document's type is taken, and time is linear in what is unpacked.

mod archive;
mod book;
mod cell;
mod crc;
mod deflate;
mod form;
mod markup;
mod pack;
mod refusal;
mod rows;
mod write;

pub(super) use archive::is_archive;
pub(super) use book::older;
pub use book::{Book, Tab};
pub use cell::{Mark, Marked};
pub(super) use cell::{long_number, made_a_date, without_result};
pub use refusal::Refusal;
pub use rows::{Row, Rows};
pub use write::write;
