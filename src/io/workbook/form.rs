//! What a number format makes of a number (ECMA-376 part 1, 18.8.30 and 18.8.31).

/// What the number in a cell is shown as, as far as it changes what it says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Form {
    /// A number.
    Plain,
    /// A day, with a time of day or without.
    Date,
    /// A time of day or a span of hours.
    Time,
    /// A hundredth each.
    Percent,
    /// A whole number behind some letters, with zeros in front up to a width: `UK 0724345`.
    Padded {
        /// The letters.
        front: String,
        /// How many digits at least.
        digits: usize,
    },
}

/// The longest run of zeros that is taken; numbers have at most sixteen digits.
const MOST_DIGITS: usize = 20;

impl Form {
    /// The form of a format that every workbook has by its number (18.8.30; 27 to 36 and 50 to 58 are dates of the East
    /// Asian editions).
    pub(super) fn built_in(id: u32) -> Self {
        match id {
            9 | 10 => Self::Percent,
            14..=17 | 22 | 27..=31 | 36 | 50..=54 | 57 | 58 => Self::Date,
            18..=21 | 32..=35 | 45..=47 | 55 | 56 => Self::Time,
            _ => Self::Plain,
        }
    }

    /// The form of a format's code. Only its first section counts: that for numbers above zero.
    pub(super) fn of(code: &str) -> Self {
        let signs = signs(code);
        let has = |letters: &str| signs.iter().any(|sign| sign.shown && letters.contains(sign.letter));
        if signs.iter().any(|sign| sign.is_elapsed) {
            return Self::Time;
        }
        let is_general =
            code.trim_start().get(..7).is_some_and(|start| start.eq_ignore_ascii_case("general"));
        match () {
            () if is_general => Self::Plain,
            // A month beside hours is a minute.
            () if has("yYdD") || (has("mM") && !has("hHsS")) => Self::Date,
            () if has("hHsS") => Self::Time,
            () if has("%") => Self::Percent,
            () => padded(&signs).unwrap_or(Self::Plain),
        }
    }
}

/// One sign of a code.
struct Sign {
    letter: char,
    /// Whether it stands for something of the number; otherwise it is a letter as it is.
    shown: bool,
    /// Whether it counts hours, minutes or seconds beyond a day: `[h]`.
    is_elapsed: bool,
}

/// The signs of the first section; colours, conditions and blanks of a width are left out.
fn signs(code: &str) -> Vec<Sign> {
    let mut signs = Vec::new();
    let mut letters = code.chars();
    while let Some(letter) = letters.next() {
        let as_it_is = |letter| Sign { letter, shown: false, is_elapsed: false };
        match letter {
            ';' => break,
            '"' => signs.extend(letters.by_ref().take_while(|&letter| letter != '"').map(as_it_is)),
            '\\' => signs.extend(letters.next().map(as_it_is)),
            '_' | '*' => drop(letters.next()),
            '[' => {
                let inside: String = letters.by_ref().take_while(|&letter| letter != ']').collect();
                let first = inside.chars().next().unwrap_or_default();
                if "hHmMsS".contains(first)
                    && inside.chars().all(|letter| letter.eq_ignore_ascii_case(&first))
                {
                    signs.push(Sign { letter: first, shown: true, is_elapsed: true });
                }
            }
            _ => signs.push(Sign { letter, shown: true, is_elapsed: false }),
        }
    }
    signs
}

/// Letters and then zeros alone. One zero without letters is any whole number.
fn padded(signs: &[Sign]) -> Option<Form> {
    let is_zero = |sign: &Sign| sign.shown && sign.letter == '0';
    // These letters stand as they are even without quotes.
    let is_front = |sign: &Sign| !sign.shown || " -/()".contains(sign.letter);
    let front: String = signs.iter().take_while(|sign| is_front(sign)).map(|sign| sign.letter).collect();
    let zeros = signs.iter().skip_while(|sign| is_front(sign));
    let digits = zeros.clone().count();
    let is_padded = (1..=MOST_DIGITS).contains(&digits) && zeros.clone().all(is_zero);
    (is_padded && (digits > 1 || front.chars().any(char::is_alphanumeric)))
        .then_some(Form::Padded { front, digits })
}

#[cfg(test)]
mod tests {
    use super::Form;

    #[test]
    fn codes_are_told_apart() {
        for code in [
            "dd/mm/yyyy",
            "yyyy\\-mm\\-dd;@",
            "[$-409]d\\-mmm\\-yy",
            "mmm-yy",
            "d/m/yy h:mm",
            "[Red]D. MMMM",
            "m/d",
        ] {
            assert_eq!(Form::of(code), Form::Date, "{code}");
        }
        for code in ["h:mm", "[h]:mm:ss", "mm:ss.0", "h:mm AM/PM", "[mm]"] {
            assert_eq!(Form::of(code), Form::Time, "{code}");
        }
        for code in ["0%", "0.00 %", "0%;[Red]-0%"] {
            assert_eq!(Form::of(code), Form::Percent, "{code}");
        }
        for code in [
            "General",
            "GENERAL",
            "0",
            "0.00",
            "#,##0",
            "\"days\" 0.0",
            "0\" lambs\"",
            "@",
            "",
            "[Red]0.0;[Blue]-0",
            "_-* #,##0.00_-",
            "\\d0.0",
            "0.00E+00",
            "\"£\"0.00",
            "# ?/?",
        ] {
            assert_eq!(Form::of(code), Form::Plain, "{code}");
        }
        for (code, front, digits) in
            [("0000", "", 4), ("\"UK\"0000000", "UK", 7), ("\\E\\V 000", "EV ", 3), ("\"EV\"0", "EV", 1)]
        {
            assert_eq!(Form::of(code), Form::Padded { front: front.to_owned(), digits }, "{code}");
        }
    }
}
