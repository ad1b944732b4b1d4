//! The rows of a sheet (ECMA-376 part 1, 18.3.1).

use crate::io::workbook::Refusal;
use crate::io::workbook::cell::{Marked, Raw, Shared};
use crate::io::workbook::markup::{Markup, Piece, Tag};

/// One row that holds something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// As the spreadsheet counts: the first is 1.
    pub number: u32,
    /// Its cells from column A to the last that holds something.
    pub cells: Vec<String>,
}

/// The rows of a sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Rows {
    /// Rows that hold something, in order.
    pub rows: Vec<Row>,
    /// What their texts do not tell, in order.
    pub marks: Vec<Marked>,
}

/// The greatest sheet there is (18.3.1.73 and 18.3.1.13, as programs limit it).
const MOST_ROWS: u32 = 1_048_576;
const MOST_COLUMNS: usize = 16_384;

/// The most cells that are laid out, empty ones between them included, and the most bytes of their text (ours: 20,000
/// ewes with a hundred columns).
const MOST_CELLS: usize = 2_000_000;
const MOST_TEXT: usize = 100_000_000;

const CUT: Refusal = Refusal::Damaged("a part of it ends too early");
const DISORDER: Refusal = Refusal::Damaged("rows or cells of a sheet stand out of order");

/// Reads the rows of a sheet's part: all, or only up to the first that holds anything.
pub(super) fn read(text: &str, shared: &Shared, first_alone: bool) -> Result<Rows, Refusal> {
    let mut markup = Markup::new(text);
    let mut found = Rows::default();
    let (mut row, mut cells, mut bytes) = (Row { number: 0, cells: Vec::new() }, 0_usize, 0_usize);
    let mut next_place = 0;
    loop {
        match markup.piece()? {
            Piece::Start(tag) if tag.name == "row" => {
                let number = match tag.attribute("r") {
                    Some(number) => number.trim().parse().map_err(|_| DISORDER)?,
                    None => row.number.saturating_add(1),
                };
                if number <= row.number || number > MOST_ROWS {
                    return Err(DISORDER);
                }
                row = Row { number, cells: Vec::new() };
                next_place = 0;
            }
            Piece::Start(tag) if tag.name == "c" => {
                let place = match tag.attribute("r") {
                    Some(reference) => column(reference).ok_or(DISORDER)?,
                    None => next_place,
                };
                if place < next_place || place >= MOST_COLUMNS {
                    return Err(DISORDER);
                }
                next_place = place + 1;
                let (text, mark) = shared.read(&raw(&mut markup, tag)?)?;
                found.marks.extend(mark.map(|mark| Marked { row: row.number, place, mark }));
                if text.is_empty() && mark.is_none() {
                    continue;
                }
                cells = cells.saturating_add(next_place - row.cells.len());
                bytes = bytes.saturating_add(text.len());
                if cells > MOST_CELLS || bytes > MOST_TEXT {
                    return Err(Refusal::TooLarge);
                }
                row.cells.resize(place, String::new());
                row.cells.push(text);
            }
            Piece::End("row") if !row.cells.is_empty() => {
                let is_blank = row.cells.iter().all(|cell| cell.trim().is_empty());
                found.rows.push(Row { number: row.number, cells: std::mem::take(&mut row.cells) });
                if first_alone && !is_blank {
                    return Ok(found);
                }
            }
            Piece::End("sheetData") => return Ok(found),
            Piece::Done => return Err(CUT),
            _ => {}
        }
    }
}

/// The cell whose beginning was just read.
fn raw<'x>(markup: &mut Markup<'x>, tag: Tag<'x>) -> Result<Raw<'x>, Refusal> {
    let mut raw = Raw {
        kind: tag.attribute("t").unwrap_or("n"),
        style: tag.attribute("s").and_then(|style| style.trim().parse().ok()),
        ..Raw::default()
    };
    loop {
        match markup.piece()? {
            Piece::Start(tag) => match tag.name {
                "v" => inner(markup, "v", &mut raw.value)?,
                "is" => rich_text(markup, "is", &mut raw.inline)?,
                "f" => raw.has_formula = true,
                _ => {}
            },
            Piece::End("c") => return Ok(raw),
            Piece::Done => return Err(CUT),
            Piece::End(_) | Piece::Text(_) => {}
        }
    }
}

/// The text in an element that holds nothing else.
fn inner(markup: &mut Markup<'_>, name: &str, text: &mut String) -> Result<(), Refusal> {
    loop {
        match markup.piece()? {
            Piece::Text(piece) => text.push_str(&piece),
            Piece::End(ended) if ended == name => return Ok(()),
            Piece::Done => return Err(CUT),
            _ => {}
        }
    }
}

/// The text of runs in several types; how it is pronounced is left out (18.4.6).
pub(super) fn rich_text(markup: &mut Markup<'_>, name: &str, text: &mut String) -> Result<(), Refusal> {
    let mut said = 0_u32;
    loop {
        match markup.piece()? {
            Piece::Start(tag) => match tag.name {
                "rPh" => said = said.saturating_add(1),
                "t" if said == 0 => inner(markup, "t", text)?,
                _ => {}
            },
            Piece::End("rPh") => said = said.saturating_sub(1),
            Piece::End(ended) if ended == name => return Ok(()),
            Piece::Done => return Err(CUT),
            _ => {}
        }
    }
}

/// The column of a reference, `B12`; A is 0.
fn column(reference: &str) -> Option<usize> {
    let letters = reference.bytes().take_while(u8::is_ascii_alphabetic);
    let number = letters
        .take(4)
        .fold(0_usize, |number, letter| number * 26 + usize::from(letter.to_ascii_uppercase() - b'A') + 1);
    number.checked_sub(1)
}

#[cfg(test)]
mod tests {
    use super::column;

    #[test]
    fn columns_are_counted_by_their_letters() {
        for (reference, number) in [("A1", 0), ("Z9", 25), ("AA1", 26), ("XFD1048576", 16_383), ("b2", 1)] {
            assert_eq!(column(reference), Some(number), "{reference}");
        }
        assert_eq!(column("12"), None);
    }
}
