//! Reads a card's text; what is wrong is told by line and column. The format stands in `write`.

use crate::day::Day;
use crate::problem::{Problem, Severity};
use crate::sort::card::feature::of_day;
use crate::sort::card::write::HEADER;
use crate::sort::card::{Branch, Card, Feature, PointLine, Question, Row, Rules, Span, TotalLine};

/// The most lines that a card may have: far more than anybody reads.
const MOST_LINES: usize = 1000;
/// The greatest weight that a card may name, kg.
const MOST_KG: i32 = 200;
/// The most points, whole or half, that a line may give or a total may be.
const MOST_POINTS: f64 = 1000.0;

/// Reads a card. Every line that is wrong is named.
pub fn read(text: &str) -> Result<Card, Vec<Problem>> {
    let mut draft = Draft::default();
    let mut problems = Vec::new();
    let mut begun = false;
    for (row, text) in (1_u32..).zip(text.trim_start_matches('\u{feff}').lines()) {
        if row as usize > MOST_LINES {
            let fault = Fault::new(1, "", "The card has too many lines.", "A card has some twenty lines.");
            problems.push(fault.at(row));
            break;
        }
        let read = Tokens::split(text).and_then(|mut tokens| {
            if tokens.is_done() {
                return Ok(());
            }
            if begun {
                draft.line(&mut tokens, Row(row))
            } else {
                begun = true;
                header(&mut tokens)
            }
        });
        if let Err(fault) = read {
            problems.push(fault.at(row));
        }
    }
    if !begun {
        problems.push(whole("card-empty", "The file holds no card.", &format!("Begin with '{HEADER}'.")));
    }
    match draft.finish() {
        Ok(card) if problems.is_empty() => Ok(card),
        Ok(_) => Err(problems),
        Err(fault) => {
            // What is missing may only be missing because its line is wrong.
            if problems.is_empty() {
                problems.push(*fault);
            }
            Err(problems)
        }
    }
}

fn whole(code: &str, message: &str, hint: &str) -> Problem {
    Problem { file: Some("card".to_owned()), ..Problem::new(Severity::Error, code, "card", message, hint) }
}

/// What is wrong with a line.
struct Fault {
    column: u32,
    found: String,
    message: String,
    hint: String,
}

impl Fault {
    fn new(column: u32, found: &str, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { column, found: found.to_owned(), message: message.into(), hint: hint.into() }
    }

    fn at(self, row: u32) -> Problem {
        let column = self.column.to_string();
        let place = ("card", row, column.as_str());
        let problem =
            Problem::cell(Severity::Error, "card-line", place, &self.found, self.message, self.hint);
        Problem { subject: format!("card line {row}, column {column}"), ..problem }
    }
}

#[derive(Debug, Clone, PartialEq)]
enum Token {
    Bare(String),
    Quoted(String),
    Mark(char),
}

/// The words and marks of a line.
struct Tokens {
    tokens: Vec<(u32, Token)>,
    at: usize,
    end: u32,
}

impl Tokens {
    fn split(line: &str) -> Result<Self, Fault> {
        let letters: Vec<char> = line.chars().collect();
        let mut tokens = Vec::new();
        let mut at = 0;
        while let Some(&letter) = letters.get(at) {
            let column = at as u32 + 1;
            match letter {
                '#' => break,
                ':' | ',' | '?' => tokens.push((column, Token::Mark(letter))),
                '"' => {
                    let (text, next) = quoted(&letters, at)?;
                    tokens.push((column, Token::Quoted(text)));
                    at = next;
                    continue;
                }
                letter if letter.is_whitespace() => {}
                _ => {
                    let ends = |letter: &char| letter.is_whitespace() || "#:,?\"".contains(*letter);
                    let length = letters[at..].iter().position(ends).unwrap_or(letters.len() - at);
                    tokens.push((column, Token::Bare(letters[at..at + length].iter().collect())));
                    at += length;
                    continue;
                }
            }
            at += 1;
        }
        Ok(Self { tokens, at: 0, end: letters.len() as u32 + 1 })
    }

    fn is_done(&self) -> bool {
        self.at >= self.tokens.len()
    }

    fn column(&self) -> u32 {
        self.tokens.get(self.at).map_or(self.end, |(column, _)| *column)
    }

    fn found(&self) -> String {
        match self.tokens.get(self.at) {
            Some((_, Token::Bare(text) | Token::Quoted(text))) => text.clone(),
            Some((_, Token::Mark(mark))) => mark.to_string(),
            None => String::new(),
        }
    }

    fn fault(&self, message: impl Into<String>, hint: impl Into<String>) -> Fault {
        Fault::new(self.column(), &self.found(), message, hint)
    }

    /// Takes a word where it is the next thing.
    fn word(&mut self, word: &str) -> bool {
        let is = matches!(self.tokens.get(self.at), Some((_, Token::Bare(text))) if text.eq_ignore_ascii_case(word));
        self.at += usize::from(is);
        is
    }

    fn mark(&mut self, mark: char) -> bool {
        let is = matches!(self.tokens.get(self.at), Some((_, Token::Mark(found))) if *found == mark);
        self.at += usize::from(is);
        is
    }

    fn need_word(&mut self, words: &[&str], hint: &str) -> Result<(), Fault> {
        if words.iter().any(|word| self.word(word)) {
            return Ok(());
        }
        Err(self.fault(format!("Here should stand '{}'.", words[0]), hint))
    }

    fn need_mark(&mut self, mark: char, hint: &str) -> Result<(), Fault> {
        if self.mark(mark) { Ok(()) } else { Err(self.fault(format!("Here should stand '{mark}'."), hint)) }
    }

    /// A name: a bare word or quoted text.
    fn name(&mut self, what: &str) -> Result<String, Fault> {
        match self.tokens.get(self.at) {
            Some((_, Token::Bare(text) | Token::Quoted(text))) if !text.is_empty() => {
                self.at += 1;
                Ok(text.clone())
            }
            _ => Err(self.fault(format!("Here should stand {what}."), "Put a name with spaces in quotes.")),
        }
    }

    fn label(&mut self) -> String {
        match self.tokens.get(self.at) {
            Some((_, Token::Quoted(text))) => {
                self.at += 1;
                text.clone()
            }
            _ => String::new(),
        }
    }

    fn end(&self) -> Result<(), Fault> {
        if self.is_done() {
            return Ok(());
        }
        Err(self.fault("The line should end here.", "Take the rest away, or begin a remark with '#'."))
    }
}

/// Text in quotes from its opening mark, and the place after its closing one.
fn quoted(letters: &[char], start: usize) -> Result<(String, usize), Fault> {
    let mut text = String::new();
    let mut at = start + 1;
    loop {
        match (letters.get(at), letters.get(at + 1)) {
            (Some('"'), _) => return Ok((text, at + 1)),
            (Some('\\'), Some('n')) => text.push('\n'),
            (Some('\\'), Some('r')) => text.push('\r'),
            (Some('\\'), Some(&letter)) => text.push(letter),
            (Some(&letter), _) if letter != '\\' => {
                text.push(letter);
                at += 1;
                continue;
            }
            _ => {
                let found: String = letters[start..].iter().collect();
                let message = "The quotes are not closed.";
                return Err(Fault::new(start as u32 + 1, &found, message, "Close them on the same line."));
            }
        }
        at += 2;
    }
}

fn header(tokens: &mut Tokens) -> Result<(), Fault> {
    let hint = format!("The first line is '{HEADER}'.");
    for word in HEADER.split(' ') {
        tokens.need_word(&[word], &hint)?;
    }
    tokens.end()
}

/// A card while it is read.
#[derive(Default)]
struct Draft {
    tree: Option<bool>,
    pens: Option<(Vec<String>, Row)>,
    ewe_lambs: Option<(Vec<String>, Row)>,
    lines: Vec<PointLine>,
    totals: Vec<TotalLine>,
    questions: Vec<Question>,
}

impl Draft {
    fn line(&mut self, tokens: &mut Tokens, row: Row) -> Result<(), Fault> {
        let start = (tokens.column(), tokens.found());
        let twice = |is: bool| {
            let message = "This was said already.";
            if is {
                Err(Fault::new(start.0, &start.1, message, "Take one of the two lines away."))
            } else {
                Ok(())
            }
        };
        if tokens.word("kind") {
            twice(self.tree.is_some())?;
            let tree = tokens.word("tree");
            if !tree {
                tokens.need_word(&["points"], "A card is 'kind points' or 'kind tree'.")?;
            }
            self.tree = Some(tree);
        } else if tokens.word("pens") {
            twice(self.pens.is_some())?;
            tokens.need_word(&["poorest"], "Write 'pens poorest first: A, B, C'.")?;
            tokens.need_word(&["first"], "Write 'pens poorest first: A, B, C'.")?;
            self.pens = Some((names(tokens)?, row));
        } else if tokens.word("ewe") {
            twice(self.ewe_lambs.is_some())?;
            tokens.need_word(&["lambs"], "Write 'ewe lambs: E'.")?;
            self.ewe_lambs = Some((names(tokens)?, row));
        } else if tokens.word("total") {
            let most = (2.0 * MOST_POINTS) as i32;
            let limits = Span { from: Some(-most), to: Some(most) };
            let span = span(tokens, limits, halves_of_points)?;
            tokens.need_mark(':', "Write 'total 4 to 6: B'.")?;
            tokens.word("pen");
            let pen = tokens.name("the name of a pen")?;
            self.totals.push(TotalLine { span, pen, row });
        } else if tokens.word("question") {
            let question = question(tokens, row)?;
            self.questions.push(question);
        } else if let Some(feature) = Feature::ALL.into_iter().find(|feature| tokens.word(feature.word())) {
            let span = feature_span(tokens, feature)?;
            let label = tokens.label();
            tokens.need_mark(':', "Write 'lambs 2: 3 points'.")?;
            let half_points = halves_of_points(tokens)?;
            tokens.need_word(&["points", "point"], "Say that they are points: '3 points'.")?;
            self.lines.push(PointLine { feature, span, label, half_points, row });
        } else {
            return Err(tokens.fault(
                "No line of a card begins so.",
                "Lines begin with kind, pens, ewe lambs, lambs, condition, due, weight, total or question.",
            ));
        }
        tokens.end()
    }

    fn finish(self) -> Result<Card, Box<Problem>> {
        let missing = |message: &str, hint: &str| Box::new(whole("card-line-missing", message, hint));
        let tree = self
            .tree
            .ok_or_else(|| missing("The card does not say its kind.", "Add 'kind points' or 'kind tree'."))?;
        let (pens, pens_row) = self.pens.ok_or_else(|| {
            missing(
                "The card does not say in which order pens are filled.",
                "Add 'pens poorest first: A, B, C'.",
            )
        })?;
        let (ewe_lambs, ewe_lambs_row) = self.ewe_lambs.unwrap_or_default();
        let rules = if tree {
            if !(self.lines.is_empty() && self.totals.is_empty()) {
                return Err(missing("A tree has no points.", "Take those lines away, or say 'kind points'."));
            }
            Rules::Tree { questions: self.questions }
        } else {
            if !self.questions.is_empty() {
                return Err(missing(
                    "A points card has no questions.",
                    "Take them away, or say 'kind tree'.",
                ));
            }
            Rules::Points { lines: self.lines, totals: self.totals }
        };
        Ok(Card { rules, pens, pens_row, ewe_lambs, ewe_lambs_row })
    }
}

fn names(tokens: &mut Tokens) -> Result<Vec<String>, Fault> {
    tokens.need_mark(':', "Pens stand after a colon.")?;
    let mut names = Vec::new();
    loop {
        // "pen A, pen B" reads like "A, B"; a pen that is called "pen" stays possible.
        let before = tokens.at;
        if tokens.word("pen") && (tokens.is_done() || tokens.found() == ",") {
            tokens.at = before;
        }
        names.push(tokens.name("the name of a pen")?);
        if !tokens.mark(',') {
            return Ok(names);
        }
    }
}

fn question(tokens: &mut Tokens, row: Row) -> Result<Question, Fault> {
    let number = question_number(tokens)?;
    tokens.need_mark(':', "Write 'question 1: lambs 3 or more? yes pen B, no question 2'.")?;
    let Some(feature) = Feature::ALL.into_iter().find(|feature| tokens.word(feature.word())) else {
        return Err(tokens.fault("No question begins so.", "Ask for lambs, condition, due or weight."));
    };
    let span = feature_span(tokens, feature)?;
    let label = tokens.label();
    tokens.need_mark('?', "A question ends with a question mark.")?;
    tokens.need_word(&["yes"], "Say where yes leads: 'yes pen B'.")?;
    let yes = branch(tokens)?;
    tokens.need_mark(',', "Say where no leads after a comma.")?;
    tokens.need_word(&["no"], "Say where no leads: 'no question 2'.")?;
    let no = branch(tokens)?;
    Ok(Question { number, feature, span, label, yes, no, row })
}

fn question_number(tokens: &mut Tokens) -> Result<u32, Fault> {
    let fault = tokens.fault("Here should stand the number of a question.", "Number them 1, 2, 3.");
    tokens.name("a number").ok().and_then(|text| text.parse().ok()).ok_or(fault)
}

fn branch(tokens: &mut Tokens) -> Result<Branch, Fault> {
    if tokens.word("question") {
        return Ok(Branch::Question(question_number(tokens)?));
    }
    tokens.need_word(&["pen"], "An answer leads to 'pen B' or to 'question 2'.")?;
    Ok(Branch::Pen(tokens.name("the name of a pen")?))
}

fn feature_span(tokens: &mut Tokens, feature: Feature) -> Result<Span, Fault> {
    let span = match feature {
        Feature::Lambs => {
            span(tokens, feature.scale(), |tokens| whole_number(tokens, 1, 5, "Lambs are 1 to 5."))?
        }
        Feature::Condition => span(tokens, feature.scale(), |tokens| {
            halves(tokens, 1.0, 5.0, "Condition is 1 to 5 in halves; a quarter counts as the half below.")
        })?,
        Feature::Due => span(tokens, dates(), date)?,
        Feature::Weight => {
            let limits = Span { from: Some(1), to: Some(MOST_KG) };
            span(tokens, limits, |tokens| whole_number(tokens, 1, MOST_KG, "Weight is in whole kg."))?
        }
    };
    if feature == Feature::Weight {
        tokens.need_word(&["kg"], "Say that it is kg: 'weight 65 to 74 kg'.")?;
    }
    Ok(span)
}

/// A span whose ends can be written again: "under 1" and "after 5" name nobody where the scale is 1 to 5.
fn span(
    tokens: &mut Tokens,
    limits: Span,
    value: impl Fn(&mut Tokens) -> Result<i32, Fault>,
) -> Result<Span, Fault> {
    let fault = tokens.fault("Nobody lies there.", "Name values within the range.");
    let span = any_span(tokens, value)?;
    let within = |end: Option<i32>| end.is_none_or(|end| limits.holds(end));
    if within(span.from) && within(span.to) { Ok(span) } else { Err(fault) }
}

fn any_span(tokens: &mut Tokens, value: impl Fn(&mut Tokens) -> Result<i32, Fault>) -> Result<Span, Fault> {
    if tokens.word("any") {
        return Ok(Span::default());
    }
    if tokens.word("under") {
        return Ok(Span { from: None, to: Some(value(tokens)? - 1) });
    }
    if tokens.word("by") {
        return Ok(Span { from: None, to: Some(value(tokens)?) });
    }
    if tokens.word("after") {
        return Ok(Span { from: Some(value(tokens)? + 1), to: None });
    }
    let from = value(tokens)?;
    if tokens.word("or") {
        if tokens.word("more") || tokens.word("later") {
            return Ok(Span { from: Some(from), to: None });
        }
        tokens.need_word(&["less", "earlier"], "Write 'or more' or 'or less'.")?;
        return Ok(Span { from: None, to: Some(from) });
    }
    if tokens.word("to") {
        let fault = tokens.fault("The second value is less than the first.", "Write the lesser one first.");
        let to = value(tokens)?;
        return if to < from { Err(fault) } else { Ok(Span { from: Some(from), to: Some(to) }) };
    }
    Ok(Span::one(from))
}

fn whole_number(tokens: &mut Tokens, least: i32, most: i32, hint: &str) -> Result<i32, Fault> {
    let fault = tokens.fault("Here should stand a whole number within its range.", hint);
    let text = tokens.name("a number")?;
    text.parse().ok().filter(|number| (least..=most).contains(number)).ok_or(fault)
}

fn halves(tokens: &mut Tokens, least: f64, most: f64, hint: &str) -> Result<i32, Fault> {
    let fault = tokens.fault("Here should stand a number in halves within its range.", hint);
    let text = tokens.name("a number")?;
    let plain = text.chars().all(|letter| letter.is_ascii_digit() || ".-".contains(letter));
    let number = text.parse::<f64>().ok().filter(|_| plain);
    let number = number.filter(|number| (least..=most).contains(number) && (number * 2.0).fract() == 0.0);
    number.map(|number| (number * 2.0) as i32).ok_or(fault)
}

fn halves_of_points(tokens: &mut Tokens) -> Result<i32, Fault> {
    halves(tokens, -MOST_POINTS, MOST_POINTS, "Points are whole or half: 3 or 2.5.")
}

fn date(tokens: &mut Tokens) -> Result<i32, Fault> {
    let fault = tokens.fault("Here should stand a date.", "Write year, month and day: 2027-03-10.");
    let text = tokens.name("a date")?;
    Day::from_iso(&text).map(of_day).filter(|at| dates().holds(*at)).ok_or(fault)
}

/// Dates that a card may name: nobody means another century.
fn dates() -> Span {
    let end = |year, month, day| Day::of(year, month, day).map(of_day);
    Span { from: end(1900, 1, 1), to: end(2199, 12, 31) }
}
