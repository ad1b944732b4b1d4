//! Figures as people and spreadsheets write them. What could be read two ways is refused, never guessed.

use crate::io::column::plain;
use crate::io::fault::{Fault, quoted};

/// What a figure of some column may look like.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figure<'u> {
    /// The units that may follow it, ours first.
    pub(super) units: &'u [&'u str],
    /// Whether the file plainly writes decimal commas, so that `1.234` may be a thousand.
    pub(super) decimal_comma: bool,
}

/// Reads a decimal number with a point or a comma, a vulgar quarter or half, and a unit of ours behind it.
pub(super) fn read(text: &str, figure: Figure<'_>) -> Result<f64, Fault> {
    let (negative, unsigned) = match text.strip_prefix(['-', '−', '+']) {
        Some(rest) => (!text.starts_with('+'), rest),
        None => (false, text),
    };
    let end = unsigned.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',').unwrap_or(unsigned.len());
    let (digits, rest) = unsigned.split_at(end);
    let (fraction, rest) = vulgar(rest);
    let unit = rest.trim();
    if !unit.is_empty() && !figure.units.iter().any(|ours| plain(ours) == plain(unit)) {
        return Err(not_a_number(text, figure));
    }
    let whole = match plain_number(text, digits, figure)? {
        Some(_) if fraction.is_some() && !digits.bytes().all(|b| b.is_ascii_digit()) => {
            return Err(not_a_number(text, figure));
        }
        Some(whole) => whole,
        // A lone `½` is a half; a lone unit is nothing.
        None if fraction.is_some() => 0.0,
        None => return Err(not_a_number(text, figure)),
    };
    let value = whole + fraction.unwrap_or(0.0);
    Ok(if negative { -value } else { value })
}

/// A whole number from `least` to `most`; `2.0` is one.
pub(super) fn whole(text: &str, least: u32, most: u32) -> Option<u32> {
    let value = read(text, Figure { units: &[], decimal_comma: false }).ok()?;
    (value.fract() == 0.0 && (f64::from(least)..=f64::from(most)).contains(&value)).then_some(value as u32)
}

/// Whether the text is plainly a figure with a decimal comma: one or two digits stand behind it.
pub(super) fn has_decimal_comma(text: &str) -> bool {
    let Some((whole, rest)) = text.trim().split_once(',') else { return false };
    let decimals = rest.bytes().take_while(u8::is_ascii_digit).count();
    let is_whole = !whole.is_empty() && whole.bytes().all(|byte| byte.is_ascii_digit());
    is_whole && (1..=2).contains(&decimals) && !rest.contains([',', '.'])
}

/// A vulgar fraction at the start, and what follows it.
fn vulgar(text: &str) -> (Option<f64>, &str) {
    let fractions = [("¼", 0.25), ("½", 0.5), ("¾", 0.75), ("1/4", 0.25), ("1/2", 0.5), ("3/4", 0.75)];
    let text = text.trim_start();
    let found = fractions.iter().find_map(|(mark, value)| Some((Some(*value), text.strip_prefix(mark)?)));
    found.unwrap_or((None, text))
}

/// Digits with at most one point or comma.
fn plain_number(text: &str, digits: &str, figure: Figure<'_>) -> Result<Option<f64>, Fault> {
    if digits.is_empty() {
        return Ok(None);
    }
    let (whole, decimals) = match digits.split_once(['.', ',']) {
        Some((_, rest)) if rest.contains(['.', ',']) => return Err(thousands(text)),
        Some(parts) => parts,
        None => (digits, "0"),
    };
    if whole.is_empty() || decimals.is_empty() {
        return Err(not_a_number(text, figure));
    }
    let may_be_thousands = decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0');
    if may_be_thousands && (digits.contains(',') || (digits.contains('.') && figure.decimal_comma)) {
        return Err(thousands(text));
    }
    let value: Option<f64> = format!("{whole}.{decimals}").parse().ok();
    value.filter(|value| value.is_finite()).map(Some).ok_or_else(|| not_a_number(text, figure))
}

fn not_a_number(text: &str, figure: Figure<'_>) -> Fault {
    let unit = figure.units.first().map(|unit| format!(", in {},", spoken(unit))).unwrap_or_default();
    Fault::new(
        "not-a-number",
        format!("{} is not a number.", quoted(text)),
        format!("Write a number{unit} such as 2 or 2.5, or leave the cell empty."),
    )
}

/// A unit as people write it, of those that are compared in another form.
fn spoken(unit: &str) -> &str {
    match unit {
        "pert" => "money a tonne and without its sign",
        "t" => "tonnes",
        "gkg" => "g a kg",
        "mgkg" => "mg a kg",
        "mj" => "MJ a kg DM",
        "m2" => "m²",
        _ => unit,
    }
}

fn thousands(text: &str) -> Fault {
    Fault::new(
        "number-unclear",
        format!("{} could be a whole number with its thousands marked, or a fraction.", quoted(text)),
        "Write it without a mark between the thousands.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const KG: Figure<'_> = Figure { units: &["kg"], decimal_comma: false };

    #[track_caller]
    fn check(text: &str, expected: Result<f64, &str>) {
        assert_eq!(read(text, KG).map_err(|fault| fault.code), expected, "{text:?}");
    }

    #[test]
    fn figures_are_read_as_written() {
        for (text, value) in [
            ("70", 70.0),
            ("2.75", 2.75),
            ("2,75", 2.75),
            ("2½", 2.5),
            ("2 ¾", 2.75),
            ("2 1/2", 2.5),
            ("½", 0.5),
            ("-3", -3.0),
            ("+3", 3.0),
            ("70kg", 70.0),
            ("70.5 KG", 70.5),
            ("0,125", 0.125),
            ("70.125", 70.125),
            ("0070", 70.0),
        ] {
            check(text, Ok(value));
        }
    }

    #[test]
    fn what_is_unclear_is_refused() {
        for text in ["1,234", "1,234.5", "1.234,5", "12,345,678", "1.2.3"] {
            check(text, Err("number-unclear"));
        }
        let german = Figure { units: &[], decimal_comma: true };
        assert_eq!(read("1.234", german).map_err(|fault| fault.code), Err("number-unclear"));
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in [
            "NaN", "inf", "-inf", "infinity", "0x10", "1e3", "1E+3", "70 lb", "7 0", ".5", "5.", ",5", "-",
            "", "kg", "２", "2.5½", "2½½", "--2", "1_000", "1'000", "#N/A",
        ] {
            check(text, Err("not-a-number"));
        }
        check(&"9".repeat(400), Err("not-a-number"));
    }
}
