//! A need laid out for a terminal.

use crate::farm::CAUTION;
use crate::farm::need::{Compared, ConditionAnswer, IntakeLine, Moved, NeedAnswer, OwnUnitsAnswer};
use std::fmt::Write as _;

/// A need in words; with the table of intakes where it is asked for.
pub(super) fn need(answer: &NeedAnswer, with_intakes: bool) -> String {
    let inputs = &answer.inputs;
    let mut text = format!(
        "{:.1} MJ ME and {:.0} g MP a day\n{} kg ewe, {} {}{}, {}, diet {} MJ ME a kg DM\n",
        answer.me_mj_per_day,
        answer.mp_g_per_day,
        // A weight given as typed; one reckoned by the curve of the womb to 100 g.
        if inputs.conceptus_kg.is_some() {
            format!("{:.1}", inputs.weight_kg)
        } else {
            inputs.weight_kg.to_string()
        },
        inputs.litter,
        if inputs.litter == 1 { "lamb" } else { "lambs" },
        inputs.days_to_lambing.map(|days| format!(", {days} days to lambing")).unwrap_or_default(),
        inputs.housing,
        inputs.diet_me_mj_per_kg_dm,
    );
    if let Some(own) = &answer.own_units {
        let _ = writeln!(text, "{}", own_units(own));
    }
    if let Some(due) = &answer.due {
        let _ = writeln!(text, "{}", due.words);
    }
    if let Some(asked) = &answer.condition {
        condition(&mut text, asked);
    }
    for note in &answer.notes {
        let _ = writeln!(text, "note: {note}");
    }
    text.push('\n');
    working(&mut text, answer);
    if with_intakes {
        intakes(&mut text, &answer.intake_sources);
    }
    if let Some(rows) = &answer.compare {
        compared(&mut text, rows);
    }
    if let Some(rows) = &answer.sensitivity {
        sensitivity(&mut text, rows);
    }
    let _ = write!(text, "\n{}\n{}\n{CAUTION}\n", answer.standard_name, answer.caveat);
    text
}

fn own_units(own: &OwnUnitsAnswer) -> String {
    let protein =
        own.protein.map(|protein| format!(" and {protein:.0} {}", own.protein_unit)).unwrap_or_default();
    format!("{:.2} {}{protein} a day in the standard's own units", own.energy, own.energy_unit)
}

fn condition(text: &mut String, asked: &ConditionAnswer) {
    let _ = writeln!(text, "{}", asked.words);
    let [low, high] = asked.score_edges;
    let [least, most] = asked.need_edges_mj_per_day;
    let _ = writeln!(
        text,
        "A score is a measurement: {:.2} is {low:.2} to {high:.2} nine times in ten, so her need is {least:.1} \
         to {most:.1} MJ a day by condition alone. Target by {}.",
        asked.score, asked.target_by
    );
    for warning in &asked.warnings {
        let _ = writeln!(text, "beware: {warning}");
    }
}

fn working(text: &mut String, answer: &NeedAnswer) {
    for line in &answer.working {
        let indent = "  ".repeat(usize::from(line.depth));
        let _ = writeln!(text, "{indent}{}: {}", line.name, line.result);
        let _ = writeln!(text, "{indent}    {}", line.formula);
        if !line.values.is_empty() {
            let _ = writeln!(text, "{indent}    {}", line.values);
        }
        let _ = writeln!(text, "{indent}    [{}]", line.source);
    }
}

fn intakes(text: &mut String, rows: &[IntakeLine]) {
    text.push_str("\nWhat she can eat a day; the sources disagree, and your own refusals are better\n");
    for row in rows {
        let _ = writeln!(
            text,
            "  {:<32} {:>5.2} kg DM {:>4.1} % of live weight  {:<12}  {}",
            row.source, row.kg_dm_per_day, row.percent_of_live_weight, row.covers, row.note
        );
    }
}

fn compared(text: &mut String, rows: &[Compared]) {
    text.push_str("\nThe same ewe by every standard, condition left out\n");
    for row in rows {
        let protein = row
            .mp_g_per_day
            .map_or_else(|| "protein not its own".to_owned(), |protein| format!("{protein:.0} g MP"));
        let _ = writeln!(
            text,
            "  {:<10} {:>5.1} MJ ME ({:+.0} %), {:.1} of it for the lambs; {protein}",
            row.standard, row.me_mj_per_day, row.me_against_first_percent, row.me_for_lambs_mj_per_day
        );
        if let Some(own) = &row.own_units {
            let _ = writeln!(text, "             {}", self::own_units(own));
        }
        let _ = writeln!(text, "             assumes {}", row.assumes);
    }
}

fn sensitivity(text: &mut String, rows: &[Moved]) {
    text.push_str("\nHow far each uncertain figure moves the answer, the rest left as it is\n");
    for row in rows {
        let _ = writeln!(
            text,
            "  ME {:+5.1} %, MP {:+5.1} %  {}, {}: {} to {} ({})",
            row.me_percent, row.mp_percent, row.name, row.standing, row.used, row.moved_to, row.why
        );
    }
}
