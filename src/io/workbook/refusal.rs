//! Why a spreadsheet file is not read, and what to do about it.

use crate::io::fault::Fault;

/// Why a spreadsheet file is not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// It is cut short or garbled: what of it.
    Damaged(&'static str),
    /// It unpacks to more than is read.
    TooLarge,
    /// A password keeps it shut.
    Locked,
    /// It is something else: what.
    Other(&'static str),
    /// It is a packed folder.
    Packed,
    /// It is a workbook without a table in it.
    NoTable,
}

impl Refusal {
    /// In words.
    pub(in crate::io) fn fault(self) -> Fault {
        match self {
            Self::Damaged(what) => Fault::new(
                "workbook-damaged",
                format!("This spreadsheet file (XLSX) is damaged: {what}."),
                "Open it in your spreadsheet program and save it again. If it does not open there, take an older copy.",
            ),
            Self::TooLarge => Fault::new(
                "workbook-too-large",
                "This spreadsheet file (XLSX) holds far more than a list.",
                "Copy the list alone into a new workbook, save it, and give that.",
            ),
            Self::Locked => Fault::new(
                "workbook-locked",
                "This spreadsheet file is protected with a password.",
                "Open it in your spreadsheet program, take the password off, save it, and give it again.",
            ),
            Self::Other(what) => Fault::new(
                "not-a-csv",
                format!("This is {what}, neither a CSV nor an XLSX file."),
                "Open it in your spreadsheet program, choose Save as, and save it as XLSX or CSV.",
            ),
            Self::Packed => Fault::new(
                "not-a-csv",
                "This is a compressed folder (ZIP), neither a CSV nor an XLSX file.",
                "Unpack it and give the file that is inside.",
            ),
            Self::NoTable => Fault::new(
                "workbook-no-table",
                "This spreadsheet file (XLSX) has no sheet with a table.",
                "Check that the right file was given.",
            ),
        }
    }
}
