//! Text to rows of cells, as a spreadsheet would show them.
//!
//! The rules are those of RFC 4180 with any of three delimiters and any line ending. This is our own reader
//! because three things matter here that a general one does not give: the row number that a spreadsheet
//! shows (a cell with line breaks inside is one row), broken quotes named by row instead of swallowing the
//! rest of the file, and a way on after them. Time is linear in the text, whatever the text.

use std::borrow::Cow;

/// One row of cells.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Line<'a> {
    /// As a spreadsheet counts: the first line of the file is 1.
    pub(super) row: u32,
    /// Its cells, quotes taken off, otherwise exact.
    pub(super) cells: Vec<Cow<'a, str>>,
    /// What is wrong with its quotes. `cells` then holds the whole line, unsplit.
    pub(super) broken: Option<Broken>,
}

impl Line<'_> {
    /// Whether nothing stands in it.
    pub(super) fn is_blank(&self) -> bool {
        self.broken.is_none() && self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// What may be wrong with the quotes of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Broken {
    /// A quote opens a cell and none closes it.
    Unclosed,
    /// Something stands between the closing quote and the next delimiter.
    TextAfterQuote,
}

/// Splits a text into rows; blank lines are kept, so that the caller can count.
pub(super) fn split(text: &str, delimiter: u8) -> Splitter<'_> {
    Splitter { text, at: 0, row: 0, delimiter, patience: text.len().saturating_mul(4) }
}

/// Gives one row after the other.
pub(super) struct Splitter<'a> {
    text: &'a str,
    at: usize,
    row: u32,
    delimiter: u8,
    /// How many more bytes may be read in vain looking for the end of a quote on later lines. Without this
    /// limit a hostile file could make every line be read to the end of the file.
    patience: usize,
}

impl<'a> Iterator for Splitter<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        if self.at >= self.text.len() {
            return None;
        }
        self.row = self.row.saturating_add(1);
        let start = self.at;
        let (cells, end, fault) = self.cells(start);
        let Some(broken) = fault else {
            self.at = end;
            return Some(Line { row: self.row, cells, broken: None });
        };
        // Give up this line only: whatever follows may be sound.
        let line_end = self.line_end(start);
        self.patience = self.patience.saturating_sub(end.saturating_sub(line_end));
        self.at = self.after_break(line_end);
        let cells = vec![Cow::Borrowed(&self.text[start..line_end])];
        Some(Line { row: self.row, cells, broken: Some(broken) })
    }
}

impl<'a> Splitter<'a> {
    /// The cells of the row that begins at `start`, where the next row begins, and what is broken.
    ///
    /// Every index is that of an ASCII byte or an end of the text, hence always a character's boundary.
    fn cells(&self, start: usize) -> (Vec<Cow<'a, str>>, usize, Option<Broken>) {
        let mut cells = Vec::new();
        let mut at = start;
        loop {
            let (cell, end) = if self.byte(at) == Some(b'"') {
                match self.quoted(at + 1) {
                    Ok(found) => found,
                    Err(end) => return (cells, end, Some(Broken::Unclosed)),
                }
            } else {
                let end = self.find(at, |byte| byte == self.delimiter || is_break(byte));
                (Cow::Borrowed(&self.text[at..end]), end)
            };
            cells.push(cell);
            match self.byte(end) {
                None => return (cells, end, None),
                Some(byte) if byte == self.delimiter => at = end + 1,
                Some(byte) if is_break(byte) => return (cells, self.after_break(end), None),
                Some(_) => return (cells, end, Some(Broken::TextAfterQuote)),
            }
        }
    }

    /// The cell whose quote stands just before `start`, and the place after its closing quote and the blanks
    /// that follow; or how far was read in vain.
    fn quoted(&self, start: usize) -> Result<(Cow<'a, str>, usize), usize> {
        let mut cell: Cow<'a, str> = Cow::Borrowed("");
        let mut from = start;
        loop {
            let quote = self.find(from, |byte| byte == b'"' || (self.patience == 0 && is_break(byte)));
            if self.byte(quote) != Some(b'"') {
                return Err(quote);
            }
            let piece = &self.text[from..quote];
            if self.byte(quote + 1) == Some(b'"') {
                cell.to_mut().push_str(piece);
                cell.to_mut().push('"');
                from = quote + 2;
                continue;
            }
            if cell.is_empty() {
                cell = Cow::Borrowed(piece);
            } else {
                cell.to_mut().push_str(piece);
            }
            let end = self.find(quote + 1, |byte| byte != b' ');
            return Ok((cell, end));
        }
    }

    fn byte(&self, at: usize) -> Option<u8> {
        self.text.as_bytes().get(at).copied()
    }

    /// The first place from `from` on whose byte is wanted, or the end of the text.
    fn find(&self, from: usize, wanted: impl Fn(u8) -> bool) -> usize {
        let rest = self.text.as_bytes().get(from..).unwrap_or_default();
        rest.iter().position(|&byte| wanted(byte)).map_or(self.text.len(), |offset| from + offset)
    }

    fn line_end(&self, from: usize) -> usize {
        self.find(from, is_break)
    }

    /// The place after the line break at `at`: `\r\n`, `\n` or `\r`.
    fn after_break(&self, at: usize) -> usize {
        match (self.byte(at), self.byte(at + 1)) {
            (Some(b'\r'), Some(b'\n')) => at + 2,
            (Some(_), _) => at + 1,
            (None, _) => at,
        }
    }
}

fn is_break(byte: u8) -> bool {
    byte == b'\n' || byte == b'\r'
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: &[(u32, &[&str])]) {
        let lines: Vec<_> = split(text, b',').collect();
        let found: Vec<(u32, Vec<&str>)> =
            lines.iter().map(|line| (line.row, line.cells.iter().map(Cow::as_ref).collect())).collect();
        let expected: Vec<(u32, Vec<&str>)> =
            expected.iter().map(|(row, cells)| (*row, cells.to_vec())).collect();
        assert_eq!(found, expected, "{text:?}");
    }

    #[test]
    fn rows_are_counted_as_a_spreadsheet_counts_them() {
        check(
            "a,b\r\n\"1\n1\",2\r3,4\n\n5,",
            &[(1, &["a", "b"]), (2, &["1\n1", "2"]), (3, &["3", "4"]), (4, &[""]), (5, &["5", ""])],
        );
    }

    #[test]
    fn quotes_are_taken_off_and_doubled_ones_halved() {
        check(r#""a ""b"" c",5" wide,"","x" "#, &[(1, &[r#"a "b" c"#, r#"5" wide"#, "", "x"])]);
    }

    #[test]
    fn a_broken_quote_costs_one_line() {
        let text = "a,b\n1,\"x\n2,\"y\"\n3,\"z\"z\n4,5";
        let faults: Vec<_> = split(text, b',').map(|line| (line.row, line.broken)).collect();
        let expected = [
            (1, None),
            (2, Some(Broken::TextAfterQuote)),
            (3, None),
            (4, Some(Broken::TextAfterQuote)),
            (5, None),
        ];
        assert_eq!(faults, expected);
        let unclosed: Vec<_> = split("1,\"x\n2,3", b',').map(|line| line.broken).collect();
        assert_eq!(unclosed, [Some(Broken::Unclosed), None]);
    }

    #[test]
    fn a_hostile_file_is_read_in_linear_time() {
        // Every line opens a quote that the next line seems to close: 3.5 MB of it.
        let text = "a\",\"x\n".repeat(600_000);
        assert_eq!(split(&text, b',').count(), 600_000);
    }
}
