//! A programme as a dense table of weights, and its exchange of one variable for another.
//!
//! Each row's sum is a variable as each column is, with the row's limits as its bounds. As many variables as there are
//! rows are basic: each is a weighted sum of the others, which rest on a bound. So nothing but bounds changes from one
//! programme to the next of a search, and the table of the last one is where the next begins. The last line is the
//! cost. Notation: of the basic variable of line `i`, `x_i = Σ_j w_ij x_j` over the resting `j`.

use crate::solve::programme::Programme;
use crate::solve::programme::scale::Scale;

/// Where a variable that is not basic rests.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Rest {
    Low,
    High,
    /// It has no bound, and stands at nothing.
    Free,
}

/// A weight below this is what subtraction leaves of nothing, in sizes near 1.
const NOTHING: f64 = 1e-13;

/// A programme and the basis that it stands at.
#[derive(Debug, Clone)]
pub(super) struct Tableau {
    /// How many variables rest: as many as the programme has columns.
    pub(super) width: usize,
    /// How many are basic: as many as it has rows.
    pub(super) height: usize,
    /// Line by line; the last one is the cost.
    weights: Vec<f64>,
    /// The basic variable of each line: columns first, then rows.
    pub(super) basic: Vec<usize>,
    /// The resting variable of each place.
    pub(super) resting: Vec<usize>,
    /// Where it rests.
    pub(super) rests: Vec<Rest>,
    /// Bounds of all variables.
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
    /// What the basic variables come to.
    pub(super) values: Vec<f64>,
    /// Costs of the columns.
    costs: Vec<f64>,
    /// Places of the line exchanged that are not nothing: kept so that it is not made anew each time.
    filled: Vec<usize>,
}

impl Tableau {
    /// The programme with all rows basic and all columns at rest.
    pub(super) fn of(programme: &Programme, scale: &Scale) -> Self {
        let (width, height) = (programme.columns.len(), programme.rows.len());
        let mut weights = vec![0.0; width * (height + 1)];
        for ((line, row), by) in weights.chunks_exact_mut(width.max(1)).zip(&programme.rows).zip(&scale.rows)
        {
            for &(column, weight) in &row.terms {
                line[column] = weight * by * scale.columns[column];
            }
        }
        let costs: Vec<f64> =
            programme.columns.iter().zip(&scale.columns).map(|(column, by)| column.cost * by).collect();
        weights[width * height..].copy_from_slice(&costs);
        let mut tableau = Self {
            width,
            height,
            weights,
            basic: (width..width + height).collect(),
            resting: (0..width).collect(),
            rests: vec![Rest::Free; width],
            low: Vec::new(),
            high: Vec::new(),
            values: vec![0.0; height],
            costs,
            filled: Vec::new(),
        };
        tableau.bound(programme, scale);
        for place in 0..width {
            tableau.rests[place] = tableau.rest(place, tableau.cost(place));
        }
        tableau
    }

    /// Takes the bounds of a programme that has the same rows and columns.
    pub(super) fn bound(&mut self, programme: &Programme, scale: &Scale) {
        let columns = programme.columns.iter().zip(&scale.columns);
        let rows = programme.rows.iter().zip(&scale.rows);
        self.low.clear();
        self.low.extend(columns.clone().map(|(column, by)| column.low / by));
        self.low.extend(rows.clone().map(|(row, by)| row.low * by));
        self.high.clear();
        self.high.extend(columns.map(|(column, by)| column.high / by));
        self.high.extend(rows.map(|(row, by)| row.high * by));
    }

    /// Where a variable rests well at a cost.
    pub(super) fn rest(&self, place: usize, cost: f64) -> Rest {
        let variable = self.resting[place];
        match (self.low[variable].is_finite(), self.high[variable].is_finite()) {
            (true, true) if cost < 0.0 => Rest::High,
            (true, _) => Rest::Low,
            (false, true) => Rest::High,
            (false, false) => Rest::Free,
        }
    }

    /// What a resting variable comes to.
    pub(super) fn resting_value(&self, place: usize) -> f64 {
        match self.rests[place] {
            Rest::Low => self.low[self.resting[place]],
            Rest::High => self.high[self.resting[place]],
            Rest::Free => 0.0,
        }
    }

    /// Whether a resting variable may not move at all.
    pub(super) fn is_fixed(&self, place: usize) -> bool {
        let variable = self.resting[place];
        self.low[variable] >= self.high[variable]
    }

    pub(super) fn line(&self, line: usize) -> &[f64] {
        &self.weights[line * self.width..(line + 1) * self.width]
    }

    pub(super) fn weight(&self, line: usize, place: usize) -> f64 {
        self.weights[line * self.width + place]
    }

    /// What one more of a resting variable adds to the cost.
    pub(super) fn cost(&self, place: usize) -> f64 {
        self.weights[self.height * self.width + place]
    }

    pub(super) fn costs(&self) -> &[f64] {
        self.line(self.height)
    }

    /// Counts what one more of a resting variable costs as nothing for now.
    pub(super) fn waive(&mut self, place: usize) {
        self.weights[self.height * self.width + place] = 0.0;
    }

    /// Takes the costs of a programme that has the same rows and columns.
    pub(super) fn recost(&mut self, programme: &Programme, scale: &Scale) {
        self.costs.clear();
        self.costs.extend(programme.columns.iter().zip(&scale.columns).map(|(column, by)| column.cost * by));
        self.charge();
    }

    /// The line of the cost anew, from the costs of the columns.
    pub(super) fn charge(&mut self) {
        let mut line = vec![0.0; self.width];
        for (own, variable) in line.iter_mut().zip(&self.resting) {
            *own = self.costs.get(*variable).copied().unwrap_or(0.0);
        }
        for (place, variable) in self.basic.iter().enumerate() {
            let cost = self.costs.get(*variable).copied().unwrap_or(0.0);
            if cost != 0.0 {
                line.iter_mut().zip(self.line(place)).for_each(|(own, weight)| *own += cost * weight);
            }
        }
        self.weights[self.width * self.height..].copy_from_slice(&line);
    }

    /// What the basic variables come to, anew.
    pub(super) fn evaluate(&mut self) {
        let resting: Vec<(usize, f64)> = (0..self.width)
            .map(|place| (place, self.resting_value(place)))
            .filter(|(_, value)| *value != 0.0)
            .collect();
        for line in 0..self.height {
            let weights = self.line(line);
            self.values[line] = resting.iter().map(|&(place, value)| weights[place] * value).sum();
        }
    }

    /// Moves a resting variable by so much, and every basic one with it.
    pub(super) fn shift(&mut self, place: usize, by: f64) {
        if by == 0.0 {
            return;
        }
        for line in 0..self.height {
            self.values[line] += self.weight(line, place) * by;
        }
    }

    /// Exchanges the basic variable of a line, which goes to rest, for the resting one of a place, which has moved by
    /// so much. The values of all have been shifted already.
    pub(super) fn exchange(&mut self, line: usize, place: usize, rest: Rest, by: f64) {
        let entering = self.resting_value(place) + by;
        let width = self.width;
        let pivot = self.weight(line, place);
        let mut filled = std::mem::take(&mut self.filled);
        filled.clear();
        {
            let own = &mut self.weights[line * width..(line + 1) * width];
            for (column, weight) in own.iter_mut().enumerate() {
                if *weight != 0.0 {
                    *weight = if column == place { 1.0 / pivot } else { -*weight / pivot };
                    filled.push(column);
                }
            }
        }
        let (before, rest_of) = self.weights.split_at_mut(line * width);
        let (own, after) = rest_of.split_at_mut(width);
        let is_full = 2 * filled.len() > width;
        for other in before.chunks_exact_mut(width).chain(after.chunks_exact_mut(width)) {
            let factor = other[place];
            if factor == 0.0 {
                continue;
            }
            other[place] = 0.0;
            if is_full {
                for (weight, own) in other.iter_mut().zip(own.iter()) {
                    *weight += factor * own;
                }
            } else {
                for &column in &filled {
                    other[column] += factor * own[column];
                }
            }
            for &column in &filled {
                if other[column].abs() < NOTHING {
                    other[column] = 0.0;
                }
            }
        }
        self.filled = filled;
        std::mem::swap(&mut self.basic[line], &mut self.resting[place]);
        self.rests[place] = rest;
        self.values[line] = entering;
    }
}
