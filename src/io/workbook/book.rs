//! Which parts of a package are its sheets, strings and styles (ECMA-376 part 1, 18.2, and part 2, 6.5).

use crate::io::workbook::archive::Archive;
use crate::io::workbook::cell::{Shared, unhidden};
use crate::io::workbook::form::Form;
use crate::io::workbook::markup::{self, Markup, Piece};
use crate::io::workbook::{Refusal, Rows, rows};

/// A sheet of cells.
#[derive(Debug, Clone)]
pub struct Tab {
    /// Its name.
    pub name: String,
    /// Whether the spreadsheet shows it.
    pub is_visible: bool,
    part: String,
}

/// A workbook, opened.
pub struct Book<'a> {
    /// Its sheets of cells, in the order in which they are shown.
    pub tabs: Vec<Tab>,
    shared: Shared,
    archive: Archive<'a>,
}

/// The most sheets, styles, codes of formats and strings that are kept (ours; programs keep 65,490 styles and 250
/// codes).
const MOST_SHEETS: usize = 2_000;
const MOST_STYLES: usize = 100_000;
const MOST_CODES: usize = 2_000;
const MOST_STRINGS: usize = 2_000_000;

const MISSING: Refusal = Refusal::Damaged("a part that it names is missing");

/// First bytes of spreadsheet files of the older kind (Microsoft's Compound File Binary format, 2.2).
const COMPOUND: &[u8] = b"\xD0\xCF\x11\xE0";

/// In a compound file this names the workbook that a password keeps shut (Microsoft's Office Document Cryptography
/// Structure, 2.3.4.4).
const SHUT: &str = "EncryptedPackage";

impl<'a> Book<'a> {
    /// Opens a file that begins as a container does.
    pub fn open(bytes: &'a [u8]) -> Result<Self, Refusal> {
        let archive = Archive::open(bytes)?;
        let parts = related(&archive, "")?;
        let Some(workbook) = parts.into_iter().find(|part| part.kind == "officeDocument") else {
            return Err(other(&archive)?);
        };
        let workbook = workbook.target;
        if workbook.ends_with(".bin") {
            return Err(Refusal::Other("a binary spreadsheet file (XLSB)"));
        }
        let text = part(&archive, &workbook)?.ok_or(MISSING)?;
        let listed = listed(&text)?.ok_or(Refusal::Other("a text or slides (DOCX or PPTX)"))?;
        let parts = related(&archive, &workbook)?;
        let target =
            |kind: &str| parts.iter().find(|part| part.kind == kind).map(|part| part.target.as_str());
        let mut shared = Shared { from_1904: listed.from_1904, ..Shared::default() };
        if let Some(target) = target("styles") {
            shared.forms = forms(&part(&archive, target)?.ok_or(MISSING)?)?;
        }
        if let Some(target) = target("sharedStrings") {
            shared.strings = strings(&part(&archive, target)?.ok_or(MISSING)?)?;
        }
        let mut tabs = Vec::new();
        for sheet in listed.sheets {
            let named = parts.iter().find(|part| part.id == sheet.id).ok_or(MISSING)?;
            // Charts and macros have sheets of their own, without cells.
            if named.kind == "worksheet" {
                tabs.push(Tab { name: sheet.name, is_visible: sheet.is_visible, part: named.target.clone() });
            }
        }
        Ok(Self { tabs, shared, archive })
    }

    /// All rows of a sheet.
    pub fn rows(&self, tab: &Tab) -> Result<Rows, Refusal> {
        self.all(&self.text(tab)?)
    }

    /// A sheet's part.
    pub(in crate::io) fn text(&self, tab: &Tab) -> Result<String, Refusal> {
        part(&self.archive, &tab.part)?.ok_or(MISSING)
    }

    /// All rows of a sheet's part.
    pub(in crate::io) fn all(&self, text: &str) -> Result<Rows, Refusal> {
        rows::read(text, &self.shared, false)
    }

    /// Its rows up to the first that is not blank.
    pub(in crate::io) fn head(&self, text: &str) -> Result<Rows, Refusal> {
        rows::read(text, &self.shared, true)
    }
}

/// What an older spreadsheet file is; nothing where it is none.
pub(in crate::io) fn older(bytes: &[u8]) -> Option<Refusal> {
    let is_shut = || {
        let name: Vec<u8> = SHUT.encode_utf16().flat_map(u16::to_le_bytes).collect();
        bytes.windows(name.len()).any(|window| window == name)
    };
    bytes
        .starts_with(COMPOUND)
        .then(|| if is_shut() { Refusal::Locked } else { Refusal::Other("an old spreadsheet file (XLS)") })
}

/// What a container is that holds no workbook.
fn other(archive: &Archive<'_>) -> Result<Refusal, Refusal> {
    if let Some(kind) = archive.file("mimetype")? {
        return Ok(if kind.starts_with(b"application/vnd.oasis.opendocument.spreadsheet") {
            Refusal::Other("an OpenDocument spreadsheet (ODS)")
        } else {
            Refusal::Other("an OpenDocument text or drawing")
        });
    }
    let has =
        |ending: &str| archive.names().any(|name| name.to_ascii_lowercase().ends_with(ending.as_bytes()));
    Ok(match () {
        () if has(".iwa") => Refusal::Other("a spreadsheet of another kind"),
        () if has(".csv") || has(".xlsx") => Refusal::Packed,
        () => Refusal::Damaged("there is no workbook in it"),
    })
}

/// A part's text.
fn part(archive: &Archive<'_>, name: &str) -> Result<Option<String>, Refusal> {
    archive.file(name)?.map(markup::text).transpose()
}

/// A part that another names.
struct Related {
    id: String,
    /// The last word of its type; what stands before differs between the standard's two forms.
    kind: String,
    target: String,
}

/// The parts that a part names; the package itself has no name.
fn related(archive: &Archive<'_>, of: &str) -> Result<Vec<Related>, Refusal> {
    let (folder, file) = of.rsplit_once('/').unwrap_or(("", of));
    let slash = if folder.is_empty() { "" } else { "/" };
    let Some(text) = part(archive, &format!("{folder}{slash}_rels/{file}.rels"))? else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    let mut markup = Markup::new(&text);
    loop {
        match markup.piece()? {
            Piece::Start(tag)
                if tag.name == "Relationship" && tag.attribute("TargetMode") != Some("External") =>
            {
                let kind = tag.attribute("Type").unwrap_or_default();
                let kind = kind.rsplit('/').next().unwrap_or_default().to_owned();
                found.push(Related {
                    id: tag.text("Id")?,
                    kind,
                    target: resolved(folder, &tag.text("Target")?),
                });
            }
            Piece::Done => return Ok(found),
            _ => {}
        }
    }
}

/// A target as a name in the container.
fn resolved(folder: &str, target: &str) -> String {
    let mut steps: Vec<&str> = if target.starts_with('/') { Vec::new() } else { folder.split('/').collect() };
    for step in target.split('/') {
        match step {
            "" | "." => {}
            ".." => drop(steps.pop()),
            _ => steps.push(step),
        }
    }
    steps.retain(|step| !step.is_empty());
    steps.join("/")
}

/// A sheet as the workbook lists it.
struct Listed {
    name: String,
    id: String,
    is_visible: bool,
}

/// What the workbook's own part says.
struct Contents {
    from_1904: bool,
    sheets: Vec<Listed>,
}

/// Reads the workbook's own part; nothing where it is something else's.
fn listed(text: &str) -> Result<Option<Contents>, Refusal> {
    let mut contents = Contents { from_1904: false, sheets: Vec::new() };
    let mut is_workbook = false;
    let mut markup = Markup::new(text);
    loop {
        let tag = match markup.piece()? {
            Piece::Start(tag) => tag,
            Piece::Done => return Ok(is_workbook.then_some(contents)),
            _ => continue,
        };
        match tag.name {
            "workbook" => is_workbook = true,
            // An extension of the same name follows in some files, and says nothing of it.
            "workbookPr" => {
                contents.from_1904 |= matches!(tag.attribute("date1904"), Some("1" | "true" | "on"))
            }
            "sheet" => contents.sheets.push(Listed {
                name: tag.text("name")?,
                id: tag.prefixed("id").ok_or(MISSING)?.to_owned(),
                is_visible: matches!(tag.attribute("state"), None | Some("visible")),
            }),
            _ => {}
        }
        if contents.sheets.len() > MOST_SHEETS {
            return Err(Refusal::TooLarge);
        }
    }
}

/// The form of each style of a cell (18.8.10 and 18.8.31).
fn forms(text: &str) -> Result<Vec<Form>, Refusal> {
    let mut codes: Vec<(u32, Form)> = Vec::new();
    let mut forms = Vec::new();
    let mut inside = "";
    let mut markup = Markup::new(text);
    loop {
        match markup.piece()? {
            Piece::Start(tag) => {
                let id = tag.attribute("numFmtId").and_then(|id| id.trim().parse().ok()).unwrap_or(0);
                match (inside, tag.name) {
                    (_, "numFmts" | "cellXfs") => inside = tag.name,
                    ("numFmts", "numFmt") => codes.push((id, Form::of(&tag.text("formatCode")?))),
                    ("cellXfs", "xf") => {
                        let own = codes.iter().find(|(code, _)| *code == id);
                        forms.push(own.map_or_else(|| Form::built_in(id), |(_, form)| form.clone()));
                    }
                    _ => {}
                }
            }
            Piece::End("numFmts" | "cellXfs") => inside = "",
            Piece::Done => return Ok(forms),
            _ => {}
        }
        if forms.len() > MOST_STYLES || codes.len() > MOST_CODES {
            return Err(Refusal::TooLarge);
        }
    }
}

/// The strings that cells share (18.4.8).
fn strings(text: &str) -> Result<Vec<String>, Refusal> {
    let mut strings = Vec::new();
    let mut markup = Markup::new(text);
    loop {
        match markup.piece()? {
            Piece::Start(tag) if tag.name == "si" => {
                let mut string = String::new();
                rows::rich_text(&mut markup, "si", &mut string)?;
                strings.push(unhidden(&string));
            }
            Piece::Done => return Ok(strings),
            _ => {}
        }
        if strings.len() > MOST_STRINGS {
            return Err(Refusal::TooLarge);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::resolved;

    #[test]
    fn targets_are_names_in_the_container() {
        for (folder, target, name) in [
            ("xl", "worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
            ("xl", "/xl/worksheets/sheet1.xml", "xl/worksheets/sheet1.xml"),
            ("xl", "../data/./a.xml", "data/a.xml"),
            ("", "xl/workbook.xml", "xl/workbook.xml"),
            ("xl", "../../../a.xml", "a.xml"),
        ] {
            assert_eq!(resolved(folder, target), name);
        }
    }
}
