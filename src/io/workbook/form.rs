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
        let mut seen = Seen::default();
        let mut letters = code.chars();
        while let Some(letter) = letters.next() {
            match letter {
                ';' => break,
                '"' => letters
                    .by_ref()
                    .take_while(|&letter| letter != '"')
                    .for_each(|letter| seen.as_it_is(letter)),
                '\\' => seen.as_it_is(letters.next().unwrap_or_default()),
                // Blanks as wide as a sign, and signs that fill the cell.
                '_' | '*' => drop(letters.next()),
                '[' => {
                    let inside: String = letters.by_ref().take_while(|&letter| letter != ']').collect();
                    let inside = inside.to_ascii_lowercase();
                    // Colours, conditions and languages say nothing; hours beyond a day are a time: `[h]`.
                    seen.has_elapsed |= ["h", "hh", "m", "mm", "s", "ss"].contains(&inside.as_str());
                }
                _ => seen.shown(letter.to_ascii_lowercase()),
            }
        }
        let is_general = code.get(..7).is_some_and(|start| start.eq_ignore_ascii_case("general"));
        match seen {
            _ if is_general => Self::Plain,
            Seen { has_elapsed: true, .. } => Self::Time,
            Seen { has_day: true, .. } => Self::Date,
            // A month beside hours is a minute.
            Seen { has_month: true, has_time: false, .. } => Self::Date,
            Seen { has_time: true, .. } => Self::Time,
            Seen { has_percent: true, .. } => Self::Percent,
            Seen { front, digits, is_padded: true, .. }
                if (1..=MOST_DIGITS).contains(&digits)
                    && (digits > 1 || front.chars().any(char::is_alphanumeric)) =>
            {
                Self::Padded { front, digits }
            }
            _ => Self::Plain,
        }
    }
}

/// What was seen of a code.
struct Seen {
    has_elapsed: bool,
    has_day: bool,
    has_month: bool,
    has_time: bool,
    has_percent: bool,
    /// Letters in front of the zeros.
    front: String,
    digits: usize,
    /// Whether there is nothing but letters in front and zeros.
    is_padded: bool,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            has_elapsed: false,
            has_day: false,
            has_month: false,
            has_time: false,
            has_percent: false,
            front: String::new(),
            digits: 0,
            is_padded: true,
        }
    }
}

impl Seen {
    /// A letter that stands as it is.
    fn as_it_is(&mut self, letter: char) {
        self.is_padded &= self.digits == 0;
        self.front.push(letter);
    }

    /// A sign that stands for something of the number.
    fn shown(&mut self, sign: char) {
        match sign {
            'y' | 'd' => self.has_day = true,
            'm' => self.has_month = true,
            'h' | 's' => self.has_time = true,
            '%' => self.has_percent = true,
            '0' => self.digits += 1,
            // These stand as they are even without quotes.
            ' ' | '-' | '/' | '(' | ')' => self.as_it_is(sign),
            _ => self.is_padded = false,
        }
    }
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
