//! A pen's list, written out for a spreadsheet or a printer.

/// Rows under their header as CSV: UTF-8, commas, lines ending in `\n`, quotes only where they are needed.
///
/// Cells are written exactly, also one that a spreadsheet would take for a formula: a tag must come back as it
/// went out.
pub fn write(columns: &[&str], rows: &[Vec<String>]) -> String {
    let mut out = String::new();
    line(&mut out, columns.iter().copied());
    for row in rows {
        line(&mut out, row.iter().map(String::as_str));
    }
    out
}

fn line<'c>(out: &mut String, cells: impl ExactSizeIterator<Item = &'c str>) {
    let alone = cells.len() == 1;
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            out.push(',');
        }
        // White space at an end is quoted for readers that would take it off; an empty line would be no row.
        if cell.contains([',', '"', '\n', '\r', ';', '\t'])
            || cell.trim() != cell
            || (alone && cell.is_empty())
        {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(cell);
        }
    }
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_stand_only_where_needed() {
        let rows =
            [vec!["0417".to_owned(), "lame, \"old\"".to_owned()], vec!["=1".to_owned(), String::new()]];
        assert_eq!(write(&["tag", "notes"], &rows), "tag,notes\n0417,\"lame, \"\"old\"\"\"\n=1,\n");
    }
    #[test]
    fn white_space_at_an_end_and_a_lone_empty_cell_are_quoted() {
        assert_eq!(write(&["tag"], &[vec![" 7".to_owned()], vec![String::new()]]), "tag\n\" 7\"\n\"\"\n");
    }
}
