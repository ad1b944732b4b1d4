//! At most three yes/no questions, each leaf sent to a place in a row of bins.
//!
//! Every tree is screened: its leaves, in order of need, are laid over the row of bins by their spreads on one
//! line. The best of them are dealt out with true losses and limits, and where their leaves start and in which
//! order the bins stand is moved by one as long as that helps. Where it is little enough, every question,
//! order and start is tried instead, and the tree is the best there is.

use crate::arrange::Arrange as _;
use crate::solve::card::deal::Dealer;
use crate::solve::card::lay::{Screen, Spread};
use crate::solve::card::{Effort, Fitted, Task};

/// The most questions of a tree.
pub const MOST_QUESTIONS: usize = 3;
/// How many screened trees are dealt out.
const REPLAYED: usize = 60;
/// How many of those are moved on.
const POLISHED: usize = 8;
/// Up to this many trees, orders and starts in all are tried one by one.
const ALL_TRIED: usize = 40_000;
/// A change is an improvement from this share on.
const BETTER: f64 = 1e-9;

/// A question: yes where the value of the feature is this or a later one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Question {
    /// The feature.
    pub feature: usize,
    /// The first value for which the answer is yes.
    pub at: u8,
}

/// A question with what follows, or a leaf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Node {
    /// A leaf: the place in the row of bins at which its items start.
    Leaf(usize),
    /// A question.
    Ask {
        /// What is asked.
        question: Question,
        /// What follows a no.
        no: Box<Node>,
        /// What follows a yes.
        yes: Box<Node>,
    },
}

/// A tree over a row of bins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tree {
    /// The first question.
    pub root: Node,
    /// The bins, in a row.
    pub bins: Vec<usize>,
}

impl Node {
    /// The place at which an item with these values starts.
    pub fn start(&self, value: &impl Fn(usize) -> u8) -> usize {
        match self {
            Self::Leaf(start) => *start,
            Self::Ask { question, no, yes } => {
                (if value(question.feature) >= question.at { yes } else { no }).start(value)
            }
        }
    }

    /// The leaves' places, no before yes.
    fn leaves<'a>(&'a mut self, found: &mut Vec<&'a mut usize>) {
        match self {
            Self::Leaf(start) => found.push(start),
            Self::Ask { no, yes, .. } => {
                no.leaves(found);
                yes.leaves(found);
            }
        }
    }

    fn places(&self) -> Vec<usize> {
        match self {
            Self::Leaf(start) => vec![*start],
            Self::Ask { no, yes, .. } => [no.places(), yes.places()].concat(),
        }
    }

    fn set_leaves(&mut self, starts: &[usize]) {
        let mut leaves = Vec::new();
        self.leaves(&mut leaves);
        for (leaf, &start) in leaves.into_iter().zip(starts) {
            *leaf = start;
        }
    }
}

/// Finds a tree of at most `most` questions.
pub fn fit(task: &Task<'_>, most: usize, effort: Effort) -> Fitted<Tree> {
    let row = task.row();
    let shapes = Shapes::new(task, row, most.min(MOST_QUESTIONS)).screened();
    let mut search = Search { task, dealer: Dealer::new(task), left: effort.steps };
    match search.all(&shapes, most) {
        Some(best) => best,
        None => search.best_of(shapes),
    }
}

/// A screened tree: what it is thought to cost, and the tree.
type Screened = (f64, Tree);

/// All trees, by what the screen makes of them.
struct Shapes<'a> {
    task: &'a Task<'a>,
    screen: Screen,
    row: Vec<usize>,
    most: usize,
    questions: Vec<Question>,
    /// The best so far, best first; all of them where `keep_all`.
    best: Vec<Screened>,
}

/// Items on one side of a question.
struct Side {
    items: Vec<usize>,
    spread: Spread,
}

/// A question that splits some items.
struct Split {
    question: Question,
    no: Side,
    yes: Side,
}

/// A leaf or a question while a tree is put together.
type Part<'a> = (Node, Vec<&'a Spread>);

impl<'a> Shapes<'a> {
    fn new(task: &'a Task<'a>, row: Vec<usize>, most: usize) -> Self {
        let questions = task
            .counts
            .iter()
            .enumerate()
            .flat_map(|(feature, &count)| (1..count).map(move |at| Question { feature, at: at as u8 }))
            .collect();
        Self { task, screen: Screen::new(task), row, most, questions, best: Vec::new() }
    }

    fn screened(mut self) -> Vec<Screened> {
        let all: Vec<usize> = (0..self.task.order.len()).collect();
        let whole = self.screen.spread(all.iter().copied());
        self.offer((Node::Leaf(0), vec![&whole]));
        if self.most == 0 {
            return self.best;
        }
        for first in self.splits(&all) {
            self.offer(join(first.question, leaf(&first.no), leaf(&first.yes)));
            if self.most == 1 {
                continue;
            }
            let (no, yes) = (self.splits(&first.no.items), self.splits(&first.yes.items));
            for split in &no {
                self.offer(join(first.question, asked(split), leaf(&first.yes)));
            }
            for split in &yes {
                self.offer(join(first.question, leaf(&first.no), asked(split)));
            }
            if self.most == 2 {
                continue;
            }
            for below in &no {
                for above in &yes {
                    self.offer(join(first.question, asked(below), asked(above)));
                }
            }
            self.chains(&first, &no, &yes);
        }
        self.best
    }

    /// Three questions one below the other.
    fn chains(&mut self, first: &Split, no: &[Split], yes: &[Split]) {
        for (splits, other, is_yes) in [(no, &first.yes, false), (yes, &first.no, true)] {
            for second in splits {
                for third in self.splits(&second.no.items) {
                    let part = join(second.question, asked(&third), leaf(&second.yes));
                    self.offer(below(first.question, part, other, is_yes));
                }
                for third in self.splits(&second.yes.items) {
                    let part = join(second.question, leaf(&second.no), asked(&third));
                    self.offer(below(first.question, part, other, is_yes));
                }
            }
        }
    }

    /// Every question that some of the items answer with yes and some with no.
    fn splits(&self, items: &[usize]) -> Vec<Split> {
        let side = |items: Vec<usize>| Side { spread: self.screen.spread(items.iter().copied()), items };
        self.questions
            .iter()
            .filter_map(|&question| {
                let says_yes = |&place: &usize| self.task.values[question.feature][place] >= question.at;
                let (yes, no): (Vec<usize>, Vec<usize>) = items.iter().partition(|place| says_yes(place));
                (!yes.is_empty() && !no.is_empty()).then(|| Split { question, no: side(no), yes: side(yes) })
            })
            .collect()
    }

    /// Lays a tree's leaves over the bins, and keeps it where it is among the best.
    fn offer(&mut self, (mut root, spreads): Part<'_>) {
        let mut order: Vec<usize> = (0..spreads.len()).collect();
        order.arrange_by(|&a, &b| spreads[a].mean().total_cmp(&spreads[b].mean()).then(a.cmp(&b)));
        let groups: Vec<&Spread> = order.iter().map(|&leaf| spreads[leaf]).collect();
        let (loss, laid) = self.screen.lay(&groups, &self.row);
        let full = self.best.len() >= REPLAYED;
        if full && self.best.last().is_some_and(|(worst, _)| *worst <= loss) {
            return;
        }
        let mut starts = vec![0; order.len()];
        for (&leaf, &start) in order.iter().zip(&laid) {
            starts[leaf] = start;
        }
        root.set_leaves(&starts);
        let at = self.best.partition_point(|(other, _)| *other <= loss);
        self.best.insert(at, (loss, Tree { root, bins: self.row.clone() }));
        self.best.truncate(REPLAYED);
    }
}

fn leaf(side: &Side) -> Part<'_> {
    (Node::Leaf(0), vec![&side.spread])
}

fn asked(split: &Split) -> Part<'_> {
    join(split.question, leaf(&split.no), leaf(&split.yes))
}

fn join<'a>(question: Question, (no, mut leaves): Part<'a>, (yes, more): Part<'a>) -> Part<'a> {
    leaves.extend(more);
    (Node::Ask { question, no: Box::new(no), yes: Box::new(yes) }, leaves)
}

fn below<'a>(first: Question, part: Part<'a>, other: &'a Side, is_yes: bool) -> Part<'a> {
    if is_yes { join(first, leaf(other), part) } else { join(first, part, leaf(other)) }
}

struct Search<'a> {
    task: &'a Task<'a>,
    dealer: Dealer<'a>,
    left: usize,
}

impl Search<'_> {
    fn loss(&mut self, tree: &Tree) -> f64 {
        self.left = self.left.saturating_sub(self.task.steps());
        let values = &self.task.values;
        self.dealer.loss(&tree.bins, |place| tree.root.start(&|feature: usize| values[feature][place]))
    }

    /// The best of the screened trees, dealt out and moved on.
    fn best_of(&mut self, shapes: Vec<Screened>) -> Fitted<Tree> {
        let mut dealt: Vec<Fitted<Tree>> =
            shapes.into_iter().map(|(_, rule)| Fitted { loss: self.loss(&rule), rule }).collect();
        dealt.arrange_by(|a, b| a.loss.total_cmp(&b.loss));
        dealt.truncate(POLISHED);
        for tree in &mut dealt {
            self.move_on(tree);
        }
        let nothing = Tree { root: Node::Leaf(0), bins: self.task.bins.clone() };
        dealt
            .into_iter()
            .min_by(|a, b| a.loss.total_cmp(&b.loss))
            .unwrap_or(Fitted { rule: nothing, loss: f64::INFINITY })
    }

    /// Moves leaves by one place and changes bins about, as long as that helps.
    fn move_on(&mut self, tree: &mut Fitted<Tree>) {
        let bins = tree.rule.bins.len();
        let mut helped = true;
        while helped && self.left > 0 {
            helped = false;
            let mut tries = Vec::new();
            let starts = tree.rule.root.places();
            for leaf in 0..starts.len() {
                for to in [starts[leaf].wrapping_sub(1), starts[leaf] + 1] {
                    if to < bins {
                        let mut moved = starts.clone();
                        moved[leaf] = to;
                        let mut next = tree.rule.clone();
                        next.root.set_leaves(&moved);
                        tries.push(next);
                    }
                }
            }
            for a in 0..bins {
                for b in a + 1..bins {
                    let mut next = tree.rule.clone();
                    next.bins.swap(a, b);
                    tries.push(next);
                }
            }
            for rule in tries {
                let loss = self.loss(&rule);
                if loss < tree.loss * (1.0 - BETTER) {
                    *tree = Fitted { rule, loss };
                    helped = true;
                }
            }
        }
    }

    /// Every tree with every order of the bins and every start of its leaves, where that is little enough.
    fn all(&mut self, shapes: &[Screened], most: usize) -> Option<Fitted<Tree>> {
        // Fewer than are kept by the screen means that the screen left none out.
        if shapes.len() >= REPLAYED || most > MOST_QUESTIONS {
            return None;
        }
        let bins = self.task.bins.len();
        let orders: usize = (1..=bins).product();
        let mut tries = 0_usize;
        for (_, tree) in shapes {
            let starts = bins.checked_pow(tree.root.places().len() as u32)?;
            tries = tries.saturating_add(starts.saturating_mul(orders));
        }
        if tries > ALL_TRIED || tries.saturating_mul(self.task.steps()) > self.left {
            return None;
        }
        let mut best: Option<Fitted<Tree>> = None;
        for (_, tree) in shapes {
            let mut order = self.task.bins.clone();
            each_order(&mut order, 0, &mut |order| {
                let mut tree = Tree { root: tree.root.clone(), bins: order.to_vec() };
                let mut starts = vec![0; tree.root.places().len()];
                loop {
                    tree.root.set_leaves(&starts);
                    let loss = self.loss(&tree);
                    if best.as_ref().is_none_or(|best| loss < best.loss * (1.0 - BETTER)) {
                        best = Some(Fitted { rule: tree.clone(), loss });
                    }
                    let Some(at) = starts.iter().rposition(|&start| start + 1 < bins) else { break };
                    starts[at] += 1;
                    starts[at + 1..].fill(0);
                }
            });
        }
        best
    }
}

/// Calls `with` for every order of what stands from `from` on.
fn each_order(order: &mut Vec<usize>, from: usize, with: &mut impl FnMut(&[usize])) {
    if from >= order.len() {
        with(order);
        return;
    }
    for at in from..order.len() {
        order[from..=at].rotate_right(1);
        each_order(order, from + 1, with);
        order[from..=at].rotate_left(1);
    }
}
