// Generated from the engine's Rust types by `cargo xtask types`; do not edit.

/**
 * One act.
 */
export interface Act {
    /**
     * Its name: that of its first event.
     */
    act: string;
    /**
     * How many events it has.
     */
    events: number;
    /**
     * What was entered, in words.
     */
    words: string;
    /**
     * Who entered it.
     */
    by: string;
    /**
     * The day that it is about.
     */
    day: string;
    /**
     * The time of day that the device's clock showed.
     */
    time: string | null;
    /**
     * Whether it is undone.
     */
    undone: boolean;
}

/**
 * What the person saw advised when deciding: the decision's context, as shown. It is kept because it cannot be
 * found again later (it hung on the draft of that minute and on the version of the engine), and is only
 * ever shown: no state is computed from it.
 */
export interface Advice {
    /**
     * The pen that was advised. Where the ewe was given another, the advice was overruled.
     */
    pen: string;
    /**
     * The reason as it stood on the screen.
     */
    words: string;
}

/**
 * Age class, as pens and tables tell ewes apart.
 */
export type AgeClass = "ewe_lamb" | "shearling" | "mature";

/**
 * Age class.
 */
export interface AgeFact {
    /**
     * The class.
     */
    age: AgeClass;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * What came of it.
 */
export type AppendReply = { kind: "appended"; lines: EventLine[]; changed: Changed; problems: Problem[] } | { kind: "asked"; questions: Problem[] } | { kind: "refused"; problems: Problem[] };

/**
 * What to enter, and in what circumstances.
 */
export interface AppendRequest {
    /**
     * The device's name, its own among all devices: letters, digits, `-` and `_`.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * Who enters it.
     */
    by?: string;
    /**
     * The day that it is about, where it is not today.
     */
    day?: string;
    /**
     * What is entered, as one act.
     */
    what: What[];
    /**
     * Whether what was asked about is meant so.
     */
    sure?: boolean;
}

/**
 * Regrouping, rule cards, numbers of pens, and feeding.
 */
export class AsideEngine {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * The last card as the JSON document that the command line prints.
     */
    cardJson(): string | undefined;
    /**
     * Finds a rule card for a flock, or tries one.
     */
    card(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings, request: CardRequest): CardReply;
    /**
     * The invented demo's feeds, CSV.
     */
    demoFeeds(): string;
    /**
     * Where the invented demo's ewes stood before, as invented as they are.
     */
    demoOldPens(): DemoOldPens | undefined;
    /**
     * Plans the feeding to the last lambing.
     */
    feedingPlan(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings, feeds: Uint8Array, loads: Uint8Array | null | undefined, question: PlanQuestion): PlanReply;
    /**
     * The last plan's load sheet as CSV; nothing where there is none.
     */
    loadCsv(): string | undefined;
    /**
     * An engine that was asked nothing yet.
     */
    constructor();
    /**
     * The last plan's feeds by month as CSV; nothing where there is none.
     */
    ordersCsv(): string | undefined;
    /**
     * The same as the JSON document that the command line prints.
     */
    penCountJson(): string | undefined;
    /**
     * What each number of the pens comes to: of those that stand, or of equal ones yet to be built.
     */
    penCount(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings, are_built: boolean): PenCountReply;
    /**
     * The last plan's load sheet and feeds by month as a spreadsheet file; nothing where there is none.
     */
    planWorkbook(): Uint8Array | undefined;
    /**
     * What to feed one pen in one week.
     */
    ration(feeds: Uint8Array, question: RationQuestion): RationReply;
    /**
     * The last curve as the JSON document that the command line prints.
     */
    regroupJson(): string | undefined;
    /**
     * The last curve with the moves of another point listed; nothing where there is none.
     */
    regroupMoves(moves: number): RegroupView | undefined;
    /**
     * Which moves are worth making from where the ewes stand by these lists.
     */
    regroup(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings, lists: Uint8Array[]): RegroupReply;
    /**
     * The feeds of a file, and what may be tried on them.
     */
    trying(feeds: Uint8Array): Trying;
    /**
     * A usual question about a feeding plan, to change.
     */
    usualPlan(): PlanQuestion;
    /**
     * A usual question about a ration, to change.
     */
    usualRation(): RationQuestion;
}

/**
 * The axis of need, MJ ME a kg DM.
 */
export interface Axis {
    /**
     * Left end.
     */
    low: number;
    /**
     * Right end.
     */
    high: number;
    /**
     * The lowest density that a ration may have.
     */
    level_low: number;
    /**
     * The highest density that a ration may have.
     */
    level_high: number;
    /**
     * What the axis shows, with its unit.
     */
    title: string;
}

/**
 * When the journal was last saved as a file.
 */
export interface BackupMark {
    /**
     * What the clock showed, milliseconds since 1970.
     */
    ms: number;
    /**
     * How many entries it held.
     */
    events: number;
}

/**
 * How old the last backup is.
 */
export interface BackupWords {
    /**
     * In words.
     */
    words: string;
    /**
     * Whether it is time for another.
     */
    remind: boolean;
}

/**
 * Ewes of one litter size and condition.
 */
export interface BothCount {
    /**
     * Lambs carried; null: not scanned.
     */
    lambs: Litter | null;
    /**
     * The score; null: not scored.
     */
    score: Score | null;
    /**
     * How many ewes.
     */
    ewes: number;
}

/**
 * What came of it.
 */
export interface BringReply {
    /**
     * What the journal made of it; null where there is nothing new.
     */
    reply: AppendReply | null;
    /**
     * How many ewes, pens and groups were read.
     */
    words: string;
    /**
     * Rows that could not be read, with the reason and what to do; the rest is in.
     */
    problems: Problem[];
    /**
     * Day or month first? Then nothing was brought in.
     */
    question: DateQuestion | null;
}

/**
 * Whose lists, and when.
 */
export interface BringRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * The flock's name, to be given with them.
     */
    flock_name?: string;
    /**
     * How to read dates whose day and month could be either way round.
     */
    dates?: DateOrder;
    /**
     * Of which year the flock list is; absent: as its days due tell.
     */
    list_of?: ListOf;
}

/**
 * One limit that a pen's ewes break.
 */
export interface BrokenLimit {
    /**
     * The pen's name.
     */
    pen: string;
    /**
     * Which limit: `trough`, `places`, `floor`, `max_head`, `min_head`, `age`, `apart` (kinds), `out_of_use`,
     * `keep_together`, `keep_apart` (both by hand) or `other`.
     */
    limit: string;
    /**
     * What its ewes take: for `age` how many it does not take, for `apart` how many of the lesser kind, for
     * `keep_together` how many stand elsewhere, for `keep_apart` the two who stand together.
     */
    used: number;
    /**
     * What there is; for `min_head` the fewest that must be there; otherwise nought where nobody may.
     */
    available: number;
    /**
     * The unit of both: `m`, `m²`, `places` or `ewes`.
     */
    unit: string;
    /**
     * The same in words.
     */
    words: string;
}

/**
 * What is written of one ewe.
 */
export interface Card {
    /**
     * Who she is; null: not read yet.
     */
    name: Name | null;
    /**
     * What the reader or the keyboard sent.
     */
    read: string | null;
    /**
     * Lambs carried.
     */
    lambs: Litter | null;
    /**
     * Condition.
     */
    score: Score | null;
    /**
     * Age class.
     */
    age: AgeClass | null;
    /**
     * Lambing group.
     */
    group: string | null;
    /**
     * What is wrong with her, or decided about her.
     */
    marks: Mark[];
    /**
     * A note.
     */
    note: string;
    /**
     * The pen that somebody chose against what was told.
     */
    pen: string | null;
}

/**
 * A figure with its words.
 */
export interface CardFigure {
    /**
     * What it is.
     */
    name: string;
    /**
     * The figure: "91 %".
     */
    value: string;
    /**
     * What it means.
     */
    words: string;
}

/**
 * A question of a tree.
 */
export interface CardQuestionLine {
    /**
     * Its number.
     */
    number: number;
    /**
     * "Lambs: 3 or more?"
     */
    question: string;
    /**
     * "pen B", "question 2".
     */
    yes: string;
    /**
     * The same for no.
     */
    no: string;
}

/**
 * The answer to "find a card for this flock".
 */
export type CardReply = { kind: "card"; view: CardView; problems: Problem[] } | { kind: "impossible"; view: ImpossibleView } | { kind: "unreadable"; headline: string; problems: Problem[]; question: DateQuestion | null };

/**
 * What the page asks.
 */
export interface CardRequest {
    /**
     * What kind of card.
     */
    kind?: Kind;
    /**
     * Whether ewes are weighed at the race.
     */
    weight_classes?: boolean;
    /**
     * A card in its written form, to be tried instead of one that is found; absent: one is found.
     */
    tried?: string;
}

/**
 * A line of a table.
 */
export interface CardRow {
    /**
     * Whom it is for: "3 or more", "blue, by 17 Mar".
     */
    label: string;
    /**
     * What follows: "6", "pen C".
     */
    value: string;
}

/**
 * A table of points.
 */
export interface CardTable {
    /**
     * What is looked at: "Lambs".
     */
    title: string;
    /**
     * Its lines.
     */
    rows: CardRow[];
}

/**
 * A card, ready to draw.
 */
export interface CardView {
    /**
     * "Points card".
     */
    title: string;
    /**
     * "For 917 ewes in 6 pens, fed from 1 February 2027 for 21 days".
     */
    lead: string;
    /**
     * How the card is used, in a line.
     */
    how: string;
    /**
     * Points, a table for each thing looked at; empty on a tree.
     */
    tables: CardTable[];
    /**
     * Which totals go to which pen; empty on a tree.
     */
    totals: CardRow[];
    /**
     * The questions; empty on a points card.
     */
    questions: CardQuestionLine[];
    /**
     * Where ewe lambs go that are kept apart; empty where there are none.
     */
    ewe_lambs: string;
    /**
     * What else a person must know to use it.
     */
    rules: string[];
    /**
     * How good it is.
     */
    figures: CardFigure[];
    /**
     * The card in its written form, which can be edited and tried.
     */
    text: string;
    /**
     * The caution that every screen and print carries.
     */
    caution: string;
}

/**
 * What may hurt a ewe.
 */
export interface CautionEntry {
    /**
     * What it is about.
     */
    about: string;
    /**
     * What to watch or do.
     */
    words: string;
    /**
     * Where it comes from.
     */
    source: string;
}

/**
 * What is otherwise than before.
 */
export interface Changed {
    /**
     * The ewes meant, as they are now.
     */
    ewes: EweState[];
}

/**
 * The ewe under one standard, condition left out.
 */
export interface Compared {
    /**
     * The standard's id.
     */
    standard: string;
    /**
     * The standard in words.
     */
    name: string;
    /**
     * Metabolisable energy.
     */
    me_mj_per_day: number;
    /**
     * Metabolisable protein; null where the standard's own could not be read.
     */
    mp_g_per_day: number | null;
    /**
     * In its own units; null where it uses MJ and g.
     */
    own_units: OwnUnitsAnswer | null;
    /**
     * Energy against the first, percent.
     */
    me_against_first_percent: number;
    /**
     * Energy above that of the same ewe barren: what the lambs take.
     */
    me_for_lambs_mj_per_day: number;
    /**
     * What it assumes that others do not.
     */
    assumes: string;
    /**
     * What a person choosing it should know.
     */
    caveat: string;
}

/**
 * What her condition asks.
 */
export interface ConditionAnswer {
    /**
     * The score reckoned with: as given, or drawn towards the class's mean, or of two people's.
     */
    score: number;
    /**
     * Its standard deviation.
     */
    score_sd: number;
    /**
     * Where she truly is, nine times in ten.
     */
    score_edges: [number, number];
    /**
     * The target at lambing.
     */
    target: number;
    /**
     * Whose target.
     */
    target_by: string;
    /**
     * kg for a whole score.
     */
    kg_per_score: number;
    /**
     * What she must gain until lambing.
     */
    to_gain_kg: number;
    /**
     * The same each day.
     */
    to_gain_g_per_day: number;
    /**
     * Added to or taken from her need.
     */
    term_mj_per_day: number;
    /**
     * Her need without it.
     */
    without_mj_per_day: number;
    /**
     * Her need at the edges of her score.
     */
    need_edges_mj_per_day: [number, number];
    /**
     * The whole in words.
     */
    words: string;
    /**
     * What to beware of.
     */
    warnings: string[];
    /**
     * What other bodies print for such a ewe at lambing.
     */
    other_targets: TargetLine[];
}

/**
 * Ewes of one condition.
 */
export interface ConditionCount {
    /**
     * The score; null: not scored.
     */
    score: Score | null;
    /**
     * How many ewes.
     */
    ewes: number;
}

/**
 * Condition.
 */
export interface ConditionFact {
    /**
     * The score.
     */
    score: Score;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * Her condition.
 */
export interface ConditionQuestion {
    /**
     * Her score, 1 to 5 in quarters.
     */
    score?: number;
    /**
     * A second person's score of her on the same day.
     */
    second_score?: number;
    /**
     * Mean of her class, where known: the score is then drawn towards it by its error.
     */
    class_mean?: number;
    /**
     * Kind of farm, which decides the target.
     */
    system?: System;
    /**
     * Whose target: `fas2024`.
     */
    target_by?: string;
    /**
     * A target of one's own, in its place.
     */
    target?: number;
    /**
     * kg for a whole score, as a share of the weight at score 3: 0.10 to 0.19 in print.
     */
    kg_per_score_share?: number;
    /**
     * MJ ME to gain a kg: 38 to 100 in print.
     */
    mj_per_kg_gained?: number;
}

/**
 * Readings of one thing of one ewe on one day, entered by people neither of whom knew of the other's.
 */
export interface Conflict {
    /**
     * The ewe.
     */
    ewe: string;
    /**
     * What was read.
     */
    topic: Topic;
    /**
     * The day.
     */
    day: string;
    /**
     * Whether it bears on what holds of her now; an older day's no longer does.
     */
    decides: boolean;
    /**
     * The reading that is taken until somebody settles it, first, and the others.
     */
    readings: ConflictReading[];
    /**
     * All of it in words.
     */
    words: string;
}

/**
 * One of the readings.
 */
export interface ConflictReading {
    /**
     * What it says, in words.
     */
    words: string;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * A line.
 */
export interface CurveLine {
    /**
     * "twins, condition 2.5".
     */
    name: string;
    /**
     * Lambs.
     */
    litter: number;
    /**
     * Condition on the first day drawn.
     */
    condition: number;
    /**
     * Points, from the first day drawn to lambing.
     */
    points: CurvePoint[];
    /**
     * Days before lambing from which she cannot eat what she needs at this diet; null where she can.
     */
    short_from_days: number | null;
    /**
     * The same in words.
     */
    words: string;
}

/**
 * A point.
 */
export interface CurvePoint {
    /**
     * Days to lambing.
     */
    days_to_lambing: number;
    /**
     * Energy needed, condition included.
     */
    needs_mj: number;
    /**
     * Energy in what she can eat of this diet.
     */
    can_eat_mj: number;
    /**
     * Dry matter that she can eat.
     */
    can_eat_kg_dm: number;
}

/**
 * A point to draw.
 */
export interface CurvePointView {
    /**
     * Ewes moved.
     */
    moves: number;
    /**
     * The objective, weighted MJ.
     */
    objective_mj: number;
    /**
     * Objective and what the moves cost.
     */
    with_moves_mj: number;
    /**
     * Whether it pays best.
     */
    is_best: boolean;
    /**
     * Whether it is one of the few that a table lists.
     */
    in_table: boolean;
    /**
     * In a line.
     */
    words: string;
}

/**
 * One way to read the dates.
 */
export interface DateAnswer {
    /**
     * What to put into the settings.
     */
    order: DateOrder;
    /**
     * "Day first: 03/04/2027 is 3 April 2027".
     */
    words: string;
}

/**
 * The order of day and month in dates such as 03/04/2027.
 */
export type DateOrder = "dmy" | "mdy";

/**
 * Day first or month first?
 */
export interface DateQuestion {
    /**
     * The question in words.
     */
    question: string;
    /**
     * The two readings, each shown with up to three dates of the file in words.
     */
    answers: DateAnswer[];
}

/**
 * What the days of a mating group are days of.
 */
export type DayOf = "service" | "due";

/**
 * One device's day: ewes an hour are `ewes` over the time from first to last.
 */
export interface DayState {
    /**
     * The day.
     */
    day: string;
    /**
     * The device.
     */
    device: string;
    /**
     * Ewes that were scanned, scored, weighed or given a pen, each once.
     */
    ewes: number;
    /**
     * The stamp of the first such event, milliseconds since 1970.
     */
    first_ms: number;
    /**
     * The stamp of the last.
     */
    last_ms: number;
}

/**
 * The invented demo farm's files.
 */
export interface DemoFiles {
    /**
     * What to call it on screen.
     */
    name: string;
    /**
     * The flock list, CSV.
     */
    flock: string;
    /**
     * The pens, CSV.
     */
    pens: string;
    /**
     * The mating groups, CSV.
     */
    groups: string;
    /**
     * The day on which to sort it.
     */
    on: string;
}

/**
 * Where the demo's ewes may have stood before, as invented as they are.
 */
export interface DemoOldPens {
    /**
     * What to call it on screen.
     */
    name: string;
    /**
     * How it was made.
     */
    words: string;
    /**
     * The list: tag and pen, CSV.
     */
    list: string;
}

/**
 * A device and how much of it is known.
 */
export interface DeviceState {
    /**
     * Its name.
     */
    device: string;
    /**
     * The number of its last event known.
     */
    last: number;
    /**
     * How many of its earlier events are missing.
     */
    missing: number;
}

/**
 * Dividing the ways of the gate into their pens.
 */
export interface DivideRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
}

/**
 * What came of it.
 */
export interface Divided {
    /**
     * What the journal made of it; null where nobody's pen changes.
     */
    reply: AppendReply | null;
    /**
     * In words.
     */
    words: string;
}

/**
 * One ewe.
 */
export interface DraftLine {
    /**
     * Her tag.
     */
    tag: string;
    /**
     * "pen C", "way 2 (pen C)", "hold" or "apart".
     */
    goes: string;
    /**
     * Why, and the runner-up.
     */
    words: string;
}

/**
 * What the page draws.
 */
export interface DraftView {
    /**
     * How many ewes, and where they went.
     */
    headline: string;
    /**
     * What was known before the first ewe.
     */
    belief: string;
    /**
     * Which pens share a way; empty where every pen has its own.
     */
    ways: string;
    /**
     * A line a ewe, in the order in which they came.
     */
    lines: DraftLine[];
    /**
     * How near the best it came; empty where nobody has a pen.
     */
    result: string;
    /**
     * What a few moves would gain; empty where there are none.
     */
    moves: string;
    /**
     * Ewes held, in a line; empty where nobody is.
     */
    held: string;
    /**
     * Ewes not sorted, in a line; empty where there are none.
     */
    set_apart: string;
    /**
     * The caution that every screen carries.
     */
    caution: string;
}

/**
 * The day she is due.
 */
export interface DueAnswer {
    /**
     * The likeliest day.
     */
    day: string;
    /**
     * Standard deviation, days.
     */
    sd_days: number;
    /**
     * The days between which she lambs, nine times in ten.
     */
    edges: [string, string];
    /**
     * In words.
     */
    words: string;
}

/**
 * When she is due.
 */
export interface DueFact {
    /**
     * Her group.
     */
    group: string | null;
    /**
     * The day.
     */
    due: string | null;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * When she conceived, by one of three roads.
 */
export interface DueQuestion {
    /**
     * The day asked about.
     */
    on: string;
    /**
     * The day she was served, or scanned.
     */
    since: string;
    /**
     * The last day she may have been served, where only a window is known.
     */
    until?: string;
    /**
     * Days of pregnancy as the scanner put them on `since`.
     */
    scanned_age_days?: number;
    /**
     * Breed class: `usual`.
     */
    breed: string;
}

/**
 * An electronic identifier in its written form: fifteen decimal digits, `826072434500099`.
 */
export type Eid = string;

/**
 * A line of the journal's file, to be stored.
 */
export interface EventLine {
    /**
     * The event's name.
     */
    id: string;
    /**
     * The line, without its end.
     */
    line: string;
}

/**
 * A line about a ewe.
 */
export interface EweLine {
    /**
     * Her tag.
     */
    tag: string;
    /**
     * Her pen, or empty.
     */
    pen: string;
    /**
     * The words.
     */
    words: string;
}

/**
 * A ewe as a mark on her pen's strip.
 */
export interface EweMark {
    /**
     * Her tag.
     */
    tag: string;
    /**
     * Lambs carried.
     */
    litter: number;
    /**
     * "2.5", with "?" where it was taken from elsewhere.
     */
    condition: string;
    /**
     * "12 Mar", likewise.
     */
    due: string;
    /**
     * Need by day, MJ ME a kg DM.
     */
    density: number[];
    /**
     * How she stands to the ration, by day.
     */
    fit: Fit[];
    /**
     * Trough that she takes, m.
     */
    trough_m: number;
    /**
     * Whether anything about her was taken from elsewhere.
     */
    assumed: boolean;
    /**
     * Whether she is kept here by hand.
     */
    kept: boolean;
    /**
     * Her notes, for the pen list.
     */
    notes: string;
    /**
     * What a screen reader says: "0417, twins, condition 2.5, due 12 March, well fed here".
     */
    label: string;
}

/**
 * One ewe: what holds of her now.
 */
export interface EweState {
    /**
     * What to call her: the tag, or else the identifier.
     */
    called: string;
    /**
     * Her visible tag.
     */
    tag: string | null;
    /**
     * Her electronic identifier, fifteen digits.
     */
    eid: string | null;
    /**
     * Other tags and identifiers that mean her.
     */
    former: string[];
    /**
     * Lambs carried.
     */
    scanned: ScannedFact | null;
    /**
     * Condition.
     */
    condition: ConditionFact | null;
    /**
     * Age class.
     */
    age: AgeFact | null;
    /**
     * When she is due.
     */
    due: DueFact | null;
    /**
     * Live weight.
     */
    weight: WeightFact | null;
    /**
     * Her pen.
     */
    pen: PenFact | null;
    /**
     * Her fleece; left out where nobody looked.
     */
    fleece?: FleeceFact;
    /**
     * Marks that hold.
     */
    marks: MarkFact[];
    /**
     * Notes, oldest first.
     */
    notes: NoteState[];
}

/**
 * One ewe, opened.
 */
export interface EweView {
    /**
     * Her tag.
     */
    tag: string;
    /**
     * Her pen.
     */
    pen: string;
    /**
     * "twins, condition 2.5, due 12 March 2027".
     */
    title: string;
    /**
     * Why this pen.
     */
    reason: string;
    /**
     * What is known of her, each with where it comes from.
     */
    facts: Fact[];
    /**
     * How her need on the first day was worked out, line by line.
     */
    working: WorkingLine[];
    /**
     * What each pen would mean for her.
     */
    places: PlaceView[];
    /**
     * Her need on the first day as a question of its own, to see her curve and vary it.
     */
    question: NeedQuestion;
    /**
     * The caution that every need carries.
     */
    caution: string;
}

/**
 * A fact about a ewe.
 */
export interface Fact {
    /**
     * "Condition".
     */
    name: string;
    /**
     * "2.5".
     */
    value: string;
    /**
     * "not scored: the mean of her class" or empty.
     */
    note: string;
}

/**
 * A feed on the farm, to try things on.
 */
export interface FeedOffer {
    /**
     * Its name.
     */
    name: string;
    /**
     * Money a tonne.
     */
    price_per_t: number;
    /**
     * MJ ME a kg DM.
     */
    me_mj_per_kg_dm: number;
    /**
     * Prices worth trying, least and most, money a tonne: from nothing to about twice its own.
     */
    try_prices: [number, number];
    /**
     * Energies worth trying, least and most, MJ ME a kg DM; null where it hardly differs, as of cereals.
     */
    try_energies: [number, number] | null;
}

/**
 * A feed of the table in a line.
 */
export interface FeedTableLine {
    /**
     * Its short name, for the feeds file.
     */
    id: string;
    /**
     * Its name.
     */
    name: string;
    /**
     * What it holds, and which of the figures were read in print.
     */
    words: string;
}

/**
 * A feed, and how it is tried.
 */
export interface FeedTrial {
    /**
     * Its name in the feeds file.
     */
    feed?: string;
    /**
     * Whether it is left out.
     */
    is_left_out?: boolean;
    /**
     * Another price, money a tonne.
     */
    price_per_t?: number;
    /**
     * Another energy, MJ ME a kg DM; what she eats of it moves with it, protein and the rest stay as they are.
     */
    me_mj_per_kg_dm?: number;
}

/**
 * How feed is offered.
 */
export type Feeding = "restricted" | "always";

/**
 * How full something is.
 */
export interface FillView {
    /**
     * What is used, in `unit`.
     */
    used: number;
    /**
     * What there is, in `unit`.
     */
    total: number;
    /**
     * `m`, `m²` or `places`.
     */
    unit: string;
    /**
     * "18.4 of 20.0 m of trough".
     */
    words: string;
}

/**
 * How a ewe stands to her pen's ration on a day.
 */
export type Fit = "short" | "good" | "over";

/**
 * Her fleece.
 */
export interface FleeceFact {
    /**
     * Whether she was shorn for housing.
     */
    shorn: boolean;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * What they stand on.
 */
export type Floor = "straw" | "slats";

/**
 * What she is fed on.
 */
export type Forage = "good_silage" | "good_silage_long" | "poor_silage" | "hay" | "mixed";

/**
 * What to do with a ewe.
 */
export type Gate = { kind: "pen"; pen: string; at: number; way: Way | null; reason: string; places_left: number; runner_up: RunnerUp | null } | { kind: "hold"; words: string } | { kind: "apart"; words: string } | { kind: "open"; words: string };

/**
 * What came of entering a card.
 */
export interface Given {
    /**
     * What the journal made of it; the lines are to be stored before anything is shown as saved.
     */
    reply: AppendReply;
    /**
     * What was told of her pen.
     */
    gate: Gate;
    /**
     * What she is called.
     */
    called: string;
    /**
     * The pen that she was given; null where she has none.
     */
    pen: string | null;
    /**
     * The pen that she stands in on record and belongs in no longer: she may be taken out of it.
     */
    stands: string | null;
    /**
     * One line: `0417 goes to pen C.`
     */
    words: string;
    /**
     * What the gate shows now; what stands beside it is left out.
     */
    view: RaceView;
}

/**
 * A mating group.
 */
export interface GroupState {
    /**
     * Its name.
     */
    group: string;
    /**
     * Its first day.
     */
    first_day: string;
    /**
     * Its last day.
     */
    last_day: string;
    /**
     * What the days are days of.
     */
    of: DayOf;
}

/**
 * Where a ewe lives.
 */
export type Housing = "housed" | "lowland" | "hill";

/**
 * Why the pens cannot hold the flock.
 */
export interface ImpossibleView {
    /**
     * "14 ewes more than trough space in all pens: 6.3 m short".
     */
    headline: string;
    /**
     * Which limits bind, pen by pen.
     */
    limits: string[];
    /**
     * Ways to mend it, each tried.
     */
    mends: string[];
    /**
     * The caution that every screen carries.
     */
    caution: string;
    /**
     * What is wrong or worth knowing in the files.
     */
    problems: Problem[];
}

export type InitInput = RequestInfo | URL | Response | BufferSource | WebAssembly.Module;

export interface InitOutput {
    readonly memory: WebAssembly.Memory;
}

/**
 * What one source makes of her intake.
 */
export interface IntakeLine {
    /**
     * Author and year.
     */
    source: string;
    /**
     * `forage alone` or `everything`.
     */
    covers: string;
    /**
     * Dry matter a day.
     */
    kg_dm_per_day: number;
    /**
     * Share of live weight.
     */
    percent_of_live_weight: number;
    /**
     * What it was printed for.
     */
    note: string;
}

/**
 * A ewe kept in a pen by hand, whatever the sort would do.
 */
export interface Keep {
    /**
     * Her tag, exactly as in the file.
     */
    tag: string;
    /**
     * The pen's name, exactly as in the file.
     */
    pen: string;
}

/**
 * What kind of card.
 */
export type Kind = "points" | "tree";

/**
 * How well she is known.
 */
export type Known = "yes" | "new" | "formerly" | "unreadable";

/**
 * Who left.
 */
export interface LeaveRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * The ewes.
     */
    ewes: Name[];
}

/**
 * What came of it.
 */
export interface Left {
    /**
     * What the journal made of it; null where none of them stands in a pen.
     */
    reply: AppendReply | null;
    /**
     * In words.
     */
    words: string;
}

/**
 * An entry of the legend.
 */
export interface LegendLine {
    /**
     * Which mark: `litter-1` … `litter-5`, `level`, `short`, `over`, `assumed`, `kept`, `trough`.
     */
    mark: string;
    /**
     * What it means.
     */
    words: string;
}

/**
 * Of which year a flock list is.
 */
export type ListOf = "this_year" | "earlier_year";

/**
 * The number of lambs a ewe carries: 0 (barren) to 5.
 */
export type Litter = number;

/**
 * Ewes of one litter size.
 */
export interface LitterCount {
    /**
     * Lambs carried; null: not scanned.
     */
    lambs: Litter | null;
    /**
     * How many ewes.
     */
    ewes: number;
    /**
     * The same in words.
     */
    words: string;
}

/**
 * Who stands there.
 */
export interface LookReply {
    /**
     * How well she is known.
     */
    known: Known;
    /**
     * The name for events about her; null where nothing could be read.
     */
    name: Name | null;
    /**
     * What is known of her; null for a new ewe.
     */
    ewe: EweState | null;
    /**
     * One line: who she is.
     */
    words: string;
    /**
     * What was read of her today already, in words.
     */
    today: string[];
    /**
     * What to ask before anything is entered; null where nothing is in question.
     */
    question: string | null;
    /**
     * What is wrong or odd with what came.
     */
    problems: Problem[];
}

/**
 * What the reader or the keyboard sent.
 */
export interface LookRequest {
    /**
     * As it came.
     */
    read: string;
    /**
     * Today.
     */
    day: string;
}

/**
 * Who stands there, and her card.
 */
export interface LookedUp {
    /**
     * Who she is.
     */
    look: LookReply;
    /**
     * Her card, with what is on record; age and group of a new ewe are left to whoever writes it.
     */
    card: Card;
    /**
     * What of it is from the record, in words: `on record: twins`; and what is only of an earlier season.
     */
    on_record: string;
    /**
     * The pen that she stands in on record; null where she stands in none.
     */
    stands: string | null;
}

/**
 * Something wrong with a ewe, or a decision about her, that holds until it is cleared.
 */
export type Mark = "lame" | "udder" | "prolapse" | "keep_apart" | "cull" | "other";

/**
 * A mark that holds.
 */
export interface MarkFact {
    /**
     * Which.
     */
    mark: Mark;
    /**
     * More of it, in words.
     */
    words: string | null;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * One line of the list of moves.
 */
export interface MoveMade {
    /**
     * What she is called.
     */
    tag: string;
    /**
     * The pen that she left; null where she came from outside.
     */
    from: string | null;
    /**
     * The pen that she went to; null where she waits outside.
     */
    to: string | null;
    /**
     * Why, as the list said it.
     */
    words: string;
}

/**
 * The answer to "put her there".
 */
export type MoveReply = { kind: "moved"; view: SortView; keep: Keep[]; said: string } | { kind: "refused"; problem: Problem };

/**
 * A move to list.
 */
export interface MoveView {
    /**
     * Its step, from 1.
     */
    step: number;
    /**
     * Her tag.
     */
    tag: string;
    /**
     * The pen that she leaves; null where she waits outside.
     */
    from: string | null;
    /**
     * The pen that she goes to; null where she is to wait outside until there is room.
     */
    to: string | null;
    /**
     * The line.
     */
    words: string;
}

/**
 * How far one uncertain figure moves the answer.
 */
export interface Moved {
    /**
     * What it is.
     */
    name: string;
    /**
     * `from memory`, `fitted`, or `input`.
     */
    standing: string;
    /**
     * As used, in words.
     */
    used: string;
    /**
     * As moved, in words.
     */
    moved_to: string;
    /**
     * Change of energy, percent.
     */
    me_percent: number;
    /**
     * Change of protein, percent.
     */
    mp_percent: number;
    /**
     * Why that far.
     */
    why: string;
}

/**
 * What came of it.
 */
export interface Moved {
    /**
     * What the journal made of it; null where there is nothing to enter.
     */
    reply: AppendReply | null;
    /**
     * In words.
     */
    words: string;
    /**
     * Moves that were not entered, each with the reason.
     */
    problems: Problem[];
}

/**
 * Moves to enter, in the list's order.
 */
export interface MovedRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * The moves.
     */
    moves: MoveMade[];
}

/**
 * By what a ewe was known when the event was entered.
 */
export type Name = { eid: Eid } | { tag: string };

/**
 * The answer, with the inputs assumed.
 */
export interface NeedAnswer {
    /**
     * The version of this document's shape.
     */
    format: string;
    /**
     * One line of caution.
     */
    caution: string;
    /**
     * The standard's id.
     */
    standard: string;
    /**
     * The standard in words.
     */
    standard_name: string;
    /**
     * What a person choosing the standard should know.
     */
    caveat: string;
    /**
     * Metabolisable energy, what condition adds included.
     */
    me_mj_per_day: number;
    /**
     * Metabolisable protein.
     */
    mp_g_per_day: number;
    /**
     * The standard whose protein that is.
     */
    protein_standard: string;
    /**
     * The same in the standard's own units, condition left out; null where it uses MJ and g.
     */
    own_units: OwnUnitsAnswer | null;
    /**
     * Dry matter that she can eat, by the intake model.
     */
    intake_kg_dm_per_day: number;
    /**
     * The inputs, given and assumed.
     */
    inputs: NeedInputs;
    /**
     * What condition asks; null where no score was given.
     */
    condition: ConditionAnswer | null;
    /**
     * The day she is due; null where it was not asked.
     */
    due: DueAnswer | null;
    /**
     * Worth knowing about this question.
     */
    notes: string[];
    /**
     * What several sources make of her intake.
     */
    intake_sources: IntakeLine[];
    /**
     * The same ewe under every standard; null where it was not asked.
     */
    compare: Compared[] | null;
    /**
     * How far each uncertain figure moves the answer; null where it was not asked.
     */
    sensitivity: Moved[] | null;
    /**
     * How it was worked out.
     */
    working: WorkingLine[];
}

/**
 * Curves to draw.
 */
export interface NeedCurves {
    /**
     * "What a 70.0 kg ewe needs as lambing nears".
     */
    title: string;
    /**
     * Title of the axis of days.
     */
    days_title: string;
    /**
     * Title of the axis of energy.
     */
    energy_title: string;
    /**
     * The unit of energy.
     */
    unit: string;
    /**
     * What the line of intake means.
     */
    can_eat_title: string;
    /**
     * What to bear in mind.
     */
    caution: string;
    /**
     * One line a litter and condition.
     */
    lines: CurveLine[];
}

/**
 * The inputs of a need.
 */
export interface NeedInputs {
    /**
     * Live weight without the lambs.
     */
    weight_kg: number;
    /**
     * What was taken off the weight given, for womb and lambs; null where it was given without.
     */
    conceptus_kg: number | null;
    /**
     * Lambs carried.
     */
    litter: number;
    /**
     * Days to lambing; null for a barren ewe.
     */
    days_to_lambing: number | null;
    /**
     * Days from conception to term.
     */
    term_days: number;
    /**
     * Weight of the litter at birth; null for a barren ewe.
     */
    litter_weight_kg: number | null;
    /**
     * Energy density of the diet.
     */
    diet_me_mj_per_kg_dm: number;
    /**
     * Growth.
     */
    growth_g_per_day: number;
    /**
     * `housed`, `lowland` or `hill`.
     */
    housing: string;
    /**
     * Age in years as used; CSIRO (2007) alone uses it.
     */
    age_years: number;
    /**
     * Clean wool grown; null where the standard's own allowance is used.
     */
    wool_g_per_day: number | null;
    /**
     * What condition adds or takes; 0 where no score was given.
     */
    condition_term_mj_per_day: number;
    /**
     * The intake model.
     */
    intake_model: string;
}

/**
 * The question. Everything but the first three has a usual value.
 */
export interface NeedQuestion {
    /**
     * Live weight, kg.
     */
    weight_kg?: number;
    /**
     * Lambs carried, 0 to 5.
     */
    litter?: number;
    /**
     * Days to lambing; not asked at litter 0, nor where `due` tells it.
     */
    days_to_lambing?: number;
    /**
     * Whether the weight holds the lambs.
     */
    weight_taken?: WeightTaken;
    /**
     * Weight at condition 3, grown up, kg; otherwise reckoned from weight and condition.
     */
    mature_weight_kg?: number;
    /**
     * The standard's id.
     */
    standard?: string;
    /**
     * Energy density of the diet, MJ ME a kg DM.
     */
    diet_me_mj_per_kg_dm?: number;
    /**
     * Growth wanted, g a day.
     */
    growth_g_per_day?: number;
    /**
     * Weight of the litter at birth where the farm knows its own, kg.
     */
    litter_weight_kg?: number;
    /**
     * Where she lives.
     */
    housing?: Housing;
    /**
     * Shorn for housing. No equation here uses it; the answer says so.
     */
    shorn?: boolean;
    /**
     * Clean wool grown, g a day; otherwise the standard's own allowance.
     */
    wool_g_per_day?: number;
    /**
     * Age class.
     */
    age?: AgeClass;
    /**
     * Age in years where it is known; otherwise usual for her class.
     */
    age_years?: number;
    /**
     * What she is fed on, for the table of intakes.
     */
    forage?: Forage;
    /**
     * Her condition, where it is to be reckoned with.
     */
    condition?: ConditionQuestion;
    /**
     * When she conceived, to reckon the day she is due.
     */
    due?: DueQuestion;
    /**
     * Whether to show every standard side by side.
     */
    compare?: boolean;
    /**
     * Whether to show how far each uncertain figure moves the answer.
     */
    sensitivity?: boolean;
}

/**
 * The answer with its curves, or what is wrong with the question, as the page takes it.
 */
export type NeedReply = { kind: "answered"; answer: NeedAnswer; curves: NeedCurves } | { kind: "refused"; problem: Problem };

/**
 * A note.
 */
export interface NoteState {
    /**
     * The note.
     */
    words: string;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * What a device's clock shows: always given, never read here.
 */
export interface Now {
    /**
     * Milliseconds since the start of 1970, UTC.
     */
    ms: number;
    /**
     * Minutes that local time is ahead of UTC: 60 in British summer.
     */
    offset_minutes: number;
}

/**
 * Opening the race.
 */
export interface OpenRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * What is known before the first ewe.
     */
    settings: RaceSettings;
}

/**
 * A need in a standard's own units.
 */
export interface OwnUnitsAnswer {
    /**
     * Energy a day.
     */
    energy: number;
    /**
     * Its unit.
     */
    energy_unit: string;
    /**
     * Protein a day.
     */
    protein: number | null;
    /**
     * Its unit.
     */
    protein_unit: string;
}

/**
 * A point to draw.
 */
export interface PenCountPointView {
    /**
     * How many pens.
     */
    pens: number;
    /**
     * The objective, weighted MJ; nothing where the flock does not fit.
     */
    objective_mj: number | null;
    /**
     * No sort with so many pens comes to less.
     */
    bound_mj: number | null;
    /**
     * Ewes more than a tenth short.
     */
    ewes_short: number | null;
    /**
     * The pens used, by name; none where they are yet to be built and have no names.
     */
    used: string[];
    /**
     * Whether it is the marked one.
     */
    is_best: boolean;
    /**
     * In a line.
     */
    words: string;
}

/**
 * The answer to "how many pens?".
 */
export type PenCountReply = { kind: "counted"; view: PenCountView; problems: Problem[] } | { kind: "impossible"; view: ImpossibleView } | { kind: "unreadable"; headline: string; problems: Problem[] };

/**
 * A chart of misfit against number of pens, with words.
 */
export interface PenCountView {
    /**
     * What the flock and the pens come to.
     */
    headline: string;
    /**
     * What to do.
     */
    advice: string;
    /**
     * Over the chart.
     */
    chart_title: string;
    /**
     * Under it: what lies across.
     */
    pens_axis: string;
    /**
     * Beside it: what lies upwards, with its unit.
     */
    misfit_axis: string;
    /**
     * What the second line of the chart is.
     */
    bound_title: string;
    /**
     * By number of pens, from one.
     */
    points: PenCountPointView[];
    /**
     * The number that is marked; nothing where no number holds the flock.
     */
    best_pens: number | null;
    /**
     * Why it is marked.
     */
    best_words: string;
    /**
     * What was left out of what was asked.
     */
    notes: string[];
    /**
     * What the figures stand on.
     */
    basis: string;
    /**
     * The caution that goes with it.
     */
    caution: string;
}

/**
 * The pen that she was given.
 */
export interface PenFact {
    /**
     * Its name.
     */
    pen: string;
    /**
     * What was advised when it was given.
     */
    advised: Advice | null;
    /**
     * Whether the advice was another pen.
     */
    overruled: boolean;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * A pen as it fills.
 */
export interface PenFill {
    /**
     * Its name.
     */
    pen: string;
    /**
     * Its place among the pens, from 0.
     */
    at: number;
    /**
     * Ewes in it.
     */
    ewes: number;
    /**
     * How full it is, 0 to 1: the scarcest of trough, floor and head.
     */
    full: number;
    /**
     * Whether a grown ewe has no place left.
     */
    is_full: boolean;
    /**
     * `12 in, 30 left`.
     */
    words: string;
    /**
     * The way of the gate that leads there, where the gate has fewer ways than there are pens.
     */
    way: Way | null;
}

/**
 * A pen as a row of the pens file has it.
 */
export interface PenRow {
    /**
     * Its name.
     */
    pen: string;
    /**
     * Length of trough, metres; or else `places`.
     */
    trough_m?: number;
    /**
     * Single feeding places.
     */
    places?: number;
    /**
     * Floor area, m².
     */
    area_m2: number;
    /**
     * How feed is offered; absent: all must eat at once.
     */
    feeding?: Feeding;
    /**
     * What they stand on; absent: straw.
     */
    floor?: Floor;
    /**
     * Corners where a walk-through trough cannot be used; absent: none.
     */
    blocked_corners?: number;
    /**
     * The age classes that it takes, where it takes only some.
     */
    only?: AgeClass[];
    /**
     * The age classes that it never takes.
     */
    not?: AgeClass[];
    /**
     * The most head wanted in it.
     */
    max_head?: number;
}

/**
 * The list of one pen.
 */
export interface PenSheet {
    /**
     * Its name.
     */
    pen: string;
    /**
     * Its place among the pens, from 0.
     */
    at: number;
    /**
     * "31 ewes, 62 lambs".
     */
    head: string;
    /**
     * Its ewes, in the order in which they came.
     */
    ewes: SheetRow[];
}

/**
 * A pen, and how many ewes were given it.
 */
export interface PenState {
    /**
     * The pen's row.
     */
    row: PenRow;
    /**
     * Ewes whose pen it is.
     */
    ewes: number;
    /**
     * The same in words.
     */
    words: string;
}

/**
 * One pen's strip and facts.
 */
export interface PenView {
    /**
     * The pen's name.
     */
    name: string;
    /**
     * "38 ewes: 3 single, 30 twins, 5 triplets".
     */
    head: string;
    /**
     * Number of ewes.
     */
    count: number;
    /**
     * "14.9 to 17.2 MJ ME and 99 to 113 g MP a ewe a day"; empty for an empty pen.
     */
    feed: string;
    /**
     * The feed face.
     */
    trough: FillView;
    /**
     * The floor.
     */
    floor: FillView;
    /**
     * The ration by day, MJ ME a kg DM; empty for an empty pen.
     */
    levels: number[];
    /**
     * The same in words by day: "10.8 MJ ME and 72 g MP a kg DM".
     */
    level_words: string[];
    /**
     * What is worth knowing about this pen: over 40 head, moves near lambing.
     */
    notes: string[];
    /**
     * Its ewes, by need.
     */
    ewes: EweMark[];
}

/**
 * A ewe picked up, to be put into another pen.
 */
export interface PickedView {
    /**
     * Her tag.
     */
    tag: string;
    /**
     * The pen where she stands.
     */
    pen: string;
    /**
     * "Twins, condition 2.5, due 12 March".
     */
    title: string;
    /**
     * How she fares where she stands.
     */
    words: string;
    /**
     * What a screen reader says.
     */
    said: string;
    /**
     * What each pen would mean, in file order.
     */
    places: PutView[];
    /**
     * The caution that every screen carries.
     */
    caution: string;
}

/**
 * What a pen would mean for a ewe.
 */
export interface PlaceView {
    /**
     * The pen's name.
     */
    pen: string;
    /**
     * Whether she stands there now.
     */
    here: boolean;
    /**
     * Whether she may be kept there.
     */
    allowed: boolean;
    /**
     * "fits: 0.4 MJ a day over", "full: one must leave", or why not.
     */
    words: string;
    /**
     * How the whole sort's misfit changes if she is kept there, weighted MJ; null where not allowed.
     */
    change_mj: number | null;
}

/**
 * A pen in one week.
 */
export interface PlanCellView {
    /**
     * `met`, `near`, `short` or `impossible`.
     */
    state: string;
    /**
     * "0.45 kg": concentrate a ewe a day; "none".
     */
    title: string;
    /**
     * Concentrate, kg fresh a ewe a day, for a bar.
     */
    concentrate_kg: number;
    /**
     * Feed by feed.
     */
    feeds: PlanFeedView[];
    /**
     * Level, who is served, changes, what is short, water.
     */
    words: string[];
    /**
     * What stops it; in the pen's worst week all that does.
     */
    stopped_by: string[];
    /**
     * Ways out, each tried; only in the pen's worst week.
     */
    ways_out: string[];
}

/**
 * A feed to list.
 */
export interface PlanFeedView {
    /**
     * Its name.
     */
    name: string;
    /**
     * kg fresh, or what else belongs beside it.
     */
    words: string;
}

/**
 * Days of a week on which as many ewes stand in a pen.
 */
export interface PlanLoadDayView {
    /**
     * "1 Mar", or "1 to 3 Mar".
     */
    days: string;
    /**
     * How many ewes, and how many loads a day where it is more than one.
     */
    head: string;
    /**
     * kg of each feed in one load, in the order of the parts.
     */
    amounts: string[];
}

/**
 * A load of the sheet.
 */
export interface PlanLoadView {
    /**
     * Which week, 1 first.
     */
    week: number;
    /**
     * The pen.
     */
    pen: string;
    /**
     * "Pen A", or which ewes of no pen.
     */
    place: string;
    /**
     * "from 15 Feb".
     */
    from: string;
    /**
     * What it is, for how many, how often.
     */
    title: string;
    /**
     * Feeds in the order in which they go in.
     */
    parts: PlanFeedView[];
    /**
     * Where the head changes within the week: what each load is on which days. Otherwise none.
     */
    days: PlanLoadDayView[];
    /**
     * What a person loading should know.
     */
    notes: string[];
}

/**
 * A pen of the calendar.
 */
export interface PlanPenView {
    /**
     * Its name.
     */
    name: string;
    /**
     * "Pen A", or which ewes of no pen.
     */
    place: string;
    /**
     * Whether it is no pen.
     */
    is_apart: boolean;
    /**
     * Ewes on the first day.
     */
    head: string;
    /**
     * Room at the trough.
     */
    trough: string;
    /**
     * Whether the trough is too short for all.
     */
    trough_short: boolean;
    /**
     * Its weeks, the first first; it ends with its last lambing.
     */
    weeks: PlanCellView[];
}

/**
 * The question; all of it has a usual value.
 */
export interface PlanQuestion {
    /**
     * How pens are fed: `mixed`, `topup`, `separate`, `nuts` or `straw`.
     */
    way?: string;
    /**
     * Whether concentrate is the same every week (`true`) or goes with the need.
     */
    flat?: boolean;
    /**
     * Whether one recipe of the concentrate is held for all pens and weeks.
     */
    one_recipe?: boolean;
    /**
     * Most feeds of concentrate a day, 1 to 3.
     */
    most_feeds?: number;
    /**
     * Most straights at a time.
     */
    most_straights?: number;
    /**
     * What a feed in use counts for beside its price, pence a ewe a day.
     */
    handling_pence?: number;
    /**
     * Concentrate given last week, kg fresh a ewe a day.
     */
    last_week_kg?: number;
    /**
     * Feeds that are not to be used, by name.
     */
    without?: string[];
    /**
     * What the mixer wagon holds, kg; with none, a pen's mix is one load.
     */
    wagon_kg?: number;
    /**
     * Most copper of the whole ration, mg a kg DM; lower for susceptible breeds, never higher than the law.
     */
    copper_most_mg_per_kg_dm?: number;
    /**
     * Weeks before lambing from which protein is asked for; before it is only shown.
     */
    protein_weeks?: number;
    /**
     * Whether amounts are to the last gram instead of such as can be weighed.
     */
    exact?: boolean;
    /**
     * Order of day and month in the feeds and loads files, where they do not tell.
     */
    dates?: DateOrder;
}

/**
 * The answer as the page takes it.
 */
export type PlanReply = { kind: "planned"; view: PlanView } | { kind: "impossible"; view: ImpossibleView } | { kind: "refused"; problems: Problem[]; question: DateQuestion | null };

/**
 * A feed over the whole plan.
 */
export interface PlanStoreView {
    /**
     * The feed.
     */
    name: string;
    /**
     * Tonnes, money, what is left or when it is used up.
     */
    words: string;
    /**
     * By month, in words.
     */
    months: string[];
    /**
     * Share of the store left after each week; empty where it has no store.
     */
    left: number[];
}

/**
 * What the page draws.
 */
export interface PlanView {
    /**
     * Whether every pen is met, and what it costs.
     */
    headline: string;
    /**
     * What goes with it: the way, the pattern, the recipe.
     */
    lines: string[];
    /**
     * The weeks: columns of the calendar.
     */
    weeks: PlanWeekView[];
    /**
     * The pens: its rows.
     */
    pens: PlanPenView[];
    /**
     * The load sheet, in the order of the weeks.
     */
    loads: PlanLoadView[];
    /**
     * Feeds to order and stores.
     */
    stores: PlanStoreView[];
    /**
     * What was loaded and left, where it was told.
     */
    happened: string[];
    /**
     * Feeds on the farm that are not fed, and why.
     */
    withheld: string[];
    /**
     * What may hurt a ewe.
     */
    cautions: CautionEntry[];
    /**
     * What the figures stand on.
     */
    basis: string;
    /**
     * The caution that every screen carries.
     */
    caution: string;
    /**
     * What is wrong or worth knowing.
     */
    problems: Problem[];
}

/**
 * A week of the calendar.
 */
export interface PlanWeekView {
    /**
     * "Week 3".
     */
    name: string;
    /**
     * "from 15 Feb".
     */
    from: string;
}

/**
 * One thing that is wrong or worth knowing.
 */
export interface Problem {
    /**
     * Stable name of the kind of problem, in kebab case: `duplicate-tag`.
     */
    code: string;
    /**
     * How much it matters.
     */
    severity: Severity;
    /**
     * What it is about, in words: `flock row 14, condition`.
     */
    subject: string;
    /**
     * The file meant, where there is one: `flock`, `pens`, `groups`, `assignment`, `feeds` or `loads`.
     */
    file?: string;
    /**
     * The line of the file, counted as a spreadsheet counts it: the header is row 1.
     */
    row?: number;
    /**
     * The column, by our name for it.
     */
    column?: string;
    /**
     * What stood there, exactly.
     */
    found?: string;
    /**
     * The ewe meant, where there is one.
     */
    tag?: string;
    /**
     * What is wrong.
     */
    message: string;
    /**
     * What to do about it.
     */
    hint: string;
}

/**
 * How far the proof of a sort has come.
 */
export interface ProofView {
    /**
     * Steps done.
     */
    steps: number;
    /**
     * The most steps that there will be.
     */
    most_steps: number;
    /**
     * Whether nothing more is to be gained.
     */
    is_done: boolean;
    /**
     * How near the best possible the sort is.
     */
    quality: string;
    /**
     * Longer words on the bound.
     */
    quality_note: string;
}

/**
 * What putting a ewe into a pen would mean, she alone moving.
 */
export interface PutView {
    /**
     * The pen's name.
     */
    pen: string;
    /**
     * Whether she stands there now.
     */
    here: boolean;
    /**
     * Whether she can be put there.
     */
    allowed: boolean;
    /**
     * How the objective changes, weighted MJ over the period; null where she stands or cannot go.
     */
    change_mj: number | null;
    /**
     * The same in words: "costs 3.4 MJ", "saves 1.2 MJ", "cannot take her".
     */
    cost: string;
    /**
     * How she would fare, and who else would be short; empty where she cannot go.
     */
    words: string;
    /**
     * Trough and floor with her in it; empty where she cannot go.
     */
    room: string;
    /**
     * The limits that it would break, each with by how much.
     */
    limits: string[];
}

/**
 * One journal, and the race that is entered into it.
 */
export class RaceEngine {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * The pen for the ewe whose card this is.
     */
    answer(card: Card): Gate;
    /**
     * How old the last backup is.
     */
    backupAge(mark: BackupMark | null | undefined, now: Now): BackupWords;
    /**
     * Opens the race with what the gate shows, before the draft is made.
     */
    begin(request: OpenRequest): RaceView;
    /**
     * Brings lists in.
     */
    bring(request: BringRequest, flock?: Uint8Array | null, pens?: Uint8Array | null, groups?: Uint8Array | null): BringReply;
    /**
     * Seats whoever came and plans the rest anew: between two ewes.
     */
    catchUp(): void;
    /**
     * Sorts the ewes behind each way of the gate into the pens behind it.
     */
    divide(request: DivideRequest): Divided;
    /**
     * Enters a card.
     */
    enter(request: RaceRequest): Given;
    /**
     * The whole journal as its file.
     */
    file(): string;
    /**
     * The flock list that a sort reads, CSV.
     */
    flockCsv(): string;
    /**
     * Puts the journal away, to be opened anew from what is stored.
     */
    forget(): void;
    /**
     * The mating groups that a sort reads, CSV; nothing where none was described.
     */
    groupsCsv(): string | undefined;
    /**
     * Reads the next lines of what is stored.
     */
    hear(lines: string): void;
    /**
     * Takes ewes out of the pens that they stand in.
     */
    leave(request: LeaveRequest): Left;
    /**
     * Who stands there, and her card with what is on record.
     */
    look(request: LookRequest): LookedUp;
    /**
     * Enters moves that were made after the race.
     */
    moved(request: MovedRequest): Moved;
    /**
     * A journal with nothing in it.
     */
    constructor();
    /**
     * The next running number that no ewe has.
     */
    nextNumber(): string;
    /**
     * Opens the race, or opens it anew.
     */
    open(request: OpenRequest): RaceView;
    /**
     * The pens that a sort reads, CSV; nothing where none was described.
     */
    pensCsv(): string | undefined;
    /**
     * Restores a backup, or takes over what another device entered.
     */
    restore(bytes: Uint8Array, sure: boolean): Restored;
    /**
     * Who stands where.
     */
    stands(): Stands;
    /**
     * What of the settings still holds.
     */
    still(settings: RaceSettings, now: Now): RaceSettings;
    /**
     * Takes in all that was heard.
     */
    takeHeard(): TakeReply;
    /**
     * Undoes an act, or brings it back.
     */
    undo(request: UndoRequest): AppendReply;
    /**
     * The race's settings until somebody changes them.
     */
    usual(now: Now): RaceSettings;
    /**
     * What the screen shows beside the ewe.
     */
    view(device: string, now: Now): RaceView;
}

/**
 * A card to enter.
 */
export interface RaceRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * The card.
     */
    card: Card;
    /**
     * Whether what was asked about is meant so.
     */
    sure: boolean;
}

/**
 * What is known before the first ewe.
 */
export interface RaceSettings {
    /**
     * The first day of feeding.
     */
    on: string;
    /**
     * The first day that any ewe is due; taken for those of whom nobody knows a day.
     */
    first_due: string;
    /**
     * Kind of farm.
     */
    system: System;
    /**
     * How many ewes in lamb will come; absent: as many as are on record, or else nine tenths of what the pens
     * hold.
     */
    expected?: number;
    /**
     * How many of them are ewe lambs; absent: as many as are on record.
     */
    ewe_lambs?: number;
    /**
     * How many ways the gate has, 2 or 3; absent: every pen has a way of its own.
     */
    ways?: number;
}

/**
 * What the screen shows.
 */
export interface RaceView {
    /**
     * The flock's name; null where nobody named it.
     */
    flock: string | null;
    /**
     * Whether anything was ever entered or brought in.
     */
    is_empty: boolean;
    /**
     * Entries in the journal.
     */
    events: number;
    /**
     * Ewes on record.
     */
    ewes: number;
    /**
     * Ewes seen today.
     */
    today: number;
    /**
     * The same in words: `23 ewes today, 48 lambs`.
     */
    today_words: string;
    /**
     * How fast they go: `118 ewes an hour`; empty where too few passed.
     */
    rate: string;
    /**
     * Today's ewes by lambs carried.
     */
    tally: TallyLine[];
    /**
     * The pens as they fill.
     */
    pens: PenFill[];
    /**
     * What the pens told stand on; empty until the draft is made.
     */
    stands_on: string;
    /**
     * The ways of the gate with the pens behind each; empty where every pen has its own.
     */
    ways: WayPens[];
    /**
     * Why no pen can be told, where none can.
     */
    unplanned: Problem[];
    /**
     * The lambing groups that may be chosen.
     */
    groups: string[];
    /**
     * The last acts, latest first.
     */
    acts: Act[];
    /**
     * The last act that stands: what one tap on undo takes back.
     */
    last_act: Act | null;
    /**
     * What to say when somebody comes back: `Resumed: 23 ewes today, the last 0417 at 14:05.`
     */
    resumed: string;
    /**
     * Ewes on this season's record who were not seen since the first day of the race.
     */
    unseen: string[];
    /**
     * The same in words.
     */
    unseen_words: string;
    /**
     * What somebody should look at: contradictions, gaps, lines that cannot be read.
     */
    doubts: Problem[];
}

/**
 * A feed to list.
 */
export interface RationFeedView {
    /**
     * Its name.
     */
    name: string;
    /**
     * kg fresh a ewe a day.
     */
    kg_fresh: number;
    /**
     * kg DM.
     */
    kg_dm: number;
    /**
     * In a line.
     */
    words: string;
}

/**
 * A limit to list.
 */
export interface RationLimitView {
    /**
     * What it is of.
     */
    name: string;
    /**
     * Supply against limit.
     */
    words: string;
    /**
     * `holds`, `binds` or `missed`.
     */
    state: string;
}

/**
 * The question. All but weight, litter, weeks and way have a usual value.
 */
export interface RationQuestion {
    /**
     * Energy needed, MJ ME a day; by AFRC (1993) for this ewe, housed and in condition, where not given.
     */
    need_me_mj_per_day?: number;
    /**
     * Metabolisable protein needed, g a day; likewise.
     */
    need_mp_g_per_day?: number;
    /**
     * Live weight without the lambs, kg.
     */
    weight_kg?: number;
    /**
     * Lambs carried, 0 to 5.
     */
    litter?: number;
    /**
     * Weeks to lambing.
     */
    weeks_to_lambing?: number;
    /**
     * How the pen is fed: `mixed`, `topup`, `separate`, `nuts` or `straw`.
     */
    way?: string;
    /**
     * Whether the trough is rationed and empty at times.
     */
    restricted?: boolean;
    /**
     * Most feeds of concentrate a day, 1 to 3.
     */
    most_feeds?: number;
    /**
     * Most straights at a time.
     */
    most_straights?: number;
    /**
     * Concentrate given last week, kg fresh a day.
     */
    last_week_kg?: number;
    /**
     * Ewes that eat from the store.
     */
    ewes?: number;
    /**
     * Days that the store must last.
     */
    days?: number;
    /**
     * Most copper of the whole ration, mg a kg DM; lower for susceptible breeds, never higher than the law.
     */
    copper_most_mg_per_kg_dm?: number;
    /**
     * Weeks before lambing from which protein is asked for; before it is only shown.
     */
    protein_weeks?: number;
    /**
     * With `topup`: energy that the common mix is made for, MJ a day.
     */
    mix_me_mj_per_day?: number;
    /**
     * With `topup`: protein that it is made for, g a day.
     */
    mix_mp_g_per_day?: number;
    /**
     * What is tried on the feeds.
     */
    trials?: FeedTrial[];
    /**
     * Order of day and month in the feeds file, where it does not tell.
     */
    dates?: DateOrder;
}

/**
 * The answer as the page takes it.
 */
export type RationReply = { kind: "fed"; view: RationView } | { kind: "impossible"; headline: string; conflict: string[]; ways_out: string[] } | { kind: "refused"; problems: Problem[] };

/**
 * What the page draws.
 */
export interface RationView {
    /**
     * Whether the need is met, and what it costs.
     */
    headline: string;
    /**
     * How it is fed.
     */
    way: string;
    /**
     * Feed by feed.
     */
    feeds: RationFeedView[];
    /**
     * All together.
     */
    total: string;
    /**
     * How the amounts came about.
     */
    weighing: string;
    /**
     * Supply against limit.
     */
    limits: RationLimitView[];
    /**
     * What the limits that bind cost.
     */
    prices: string[];
    /**
     * When feeds that are not used would be.
     */
    unused: string[];
    /**
     * What is short; empty where nothing is.
     */
    shortfalls: string[];
    /**
     * What stops it.
     */
    stopped_by: string[];
    /**
     * Ways out, each tried.
     */
    ways_out: string[];
    /**
     * Feeds on the farm that are not fed, and why.
     */
    withheld: string[];
    /**
     * What may hurt a ewe.
     */
    cautions: CautionEntry[];
    /**
     * What the figures stand on.
     */
    basis: string;
    /**
     * The caution that every screen carries.
     */
    caution: string;
}

/**
 * The answer to "which moves are worth making?".
 */
export type RegroupReply = { kind: "regrouped"; view: RegroupView } | { kind: "impossible"; view: ImpossibleView } | { kind: "unreadable"; headline: string; problems: Problem[] };

/**
 * What the page draws.
 */
export interface RegroupView {
    /**
     * How many ewes and what the best point is.
     */
    headline: string;
    /**
     * What to do.
     */
    advice: string;
    /**
     * Over the curve.
     */
    curve_title: string;
    /**
     * Under it: what lies across, with its unit.
     */
    moves_axis: string;
    /**
     * Beside it: what lies upwards, with its unit.
     */
    misfit_axis: string;
    /**
     * What the second line of the chart is: the misfit and what the moves cost.
     */
    with_moves_title: string;
    /**
     * Every point of the curve, by moves.
     */
    curve: CurvePointView[];
    /**
     * Moves of the point whose moves are listed.
     */
    listed: number;
    /**
     * That point in a line.
     */
    listed_words: string;
    /**
     * The limits that the old pens break.
     */
    limits: string[];
    /**
     * Over the moves; empty where there are none.
     */
    moves_title: string;
    /**
     * The moves in their order.
     */
    moves: MoveView[];
    /**
     * What the figures stand on.
     */
    basis: string;
    /**
     * What is wrong or worth knowing in the files.
     */
    problems: Problem[];
    /**
     * The caution that every screen carries.
     */
    caution: string;
}

/**
 * What came of restoring a backup, or of taking over another device's entries.
 */
export type Restored = { kind: "taken"; lines: EventLine[]; reply: TakeReply } | { kind: "other_flock"; words: string };

/**
 * The next best pen.
 */
export interface RunnerUp {
    /**
     * Its name.
     */
    pen: string;
    /**
     * Its place among the pens, from 0.
     */
    at: number;
    /**
     * "Next best: pen C, 12.4 MJ worse for her."
     */
    words: string;
}

/**
 * Lambs carried.
 */
export interface ScannedFact {
    /**
     * How many.
     */
    lambs: Litter;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * A condition score, kept in whole quarters so that it compares and adds exactly.
 */
export type Score = number;

/**
 * The settings of a sort.
 */
export interface Settings {
    /**
     * The first day of the feeding period.
     */
    on?: string;
    /**
     * Days in the feeding period; absent: to the first lambing, at most 21. 0 and 1 mean `on` alone.
     */
    period_days?: number;
    /**
     * How to read dates whose day and month could be either way round.
     */
    dates?: DateOrder;
    /**
     * Kind of farm.
     */
    system?: System;
    /**
     * What a MJ below need counts for, against `over`.
     */
    under?: number;
    /**
     * What a MJ above need counts for.
     */
    over?: number;
    /**
     * The same as `under` for singles, twins, triplets, and four or more; where the list ends early its last
     * figure stands for the rest. Empty: `under` for all.
     */
    under_by_litter?: number[];
    /**
     * The same as `over`, by litter size.
     */
    over_by_litter?: number[];
    /**
     * What else counts, and for how much.
     */
    soft?: Soft;
    /**
     * Energy density of the diet on which efficiencies are reckoned, MJ ME a kg DM.
     */
    diet_me_mj_per_kg_dm?: number;
    /**
     * More trough for horned ewes, in percent; no published figure was found, so it is 0 until set.
     */
    horned_trough_percent?: number;
    /**
     * The fewest head in a pen that is used, so that none stands alone.
     */
    min_head?: number;
    /**
     * Whether ewe lambs are kept from the rest.
     */
    ewe_lambs_apart?: boolean;
    /**
     * Ewes kept in a pen by hand.
     */
    keep?: Keep[];
    /**
     * Sets of ewes that must share a pen, by tag.
     */
    together?: string[][];
    /**
     * Sets of ewes of whom no two may share a pen, by tag.
     */
    apart?: string[][];
    /**
     * Pens that are not to be used, by name.
     */
    out_of_use?: string[];
}

/**
 * How much a problem matters.
 */
export type Severity = "note" | "warning" | "error";

/**
 * One ewe of it.
 */
export interface SheetRow {
    /**
     * What she is called.
     */
    tag: string;
    /**
     * By what she is known, where something is entered of her.
     */
    name: Name | null;
    /**
     * Lambs carried; 0 where nobody knows.
     */
    litter: number;
    /**
     * Condition; empty where she was not scored.
     */
    condition: string;
    /**
     * When she is due, or her group.
     */
    due: string;
    /**
     * Marks and notes.
     */
    notes: string;
}

/**
 * Soft terms of the objective: each is off at 0. No published weight was found for any of them.
 */
export interface Soft {
    /**
     * What a gram of metabolisable protein below need counts for beside `under` MJ of energy: the second need.
     * About 0.125 puts both on one footing, since a ewe needs some 8 g a MJ.
     */
    protein_mj_per_g?: number;
    /**
     * What a ewe more or fewer than an even filling of all pens would put into a pen counts for.
     */
    even_filling_mj_per_ewe?: number;
    /**
     * What a kilogram between a ewe and her pen's median weight counts for (bullying at the trough).
     */
    body_size_mj_per_kg?: number;
    /**
     * What a day between a ewe's lambing and her pen's median counts for.
     */
    lambing_spread_mj_per_day?: number;
}

/**
 * One flock and its pens, sorted on request.
 */
export class SortEngine {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * A usual question about one ewe, to change.
     */
    defaultNeedQuestion(): NeedQuestion;
    /**
     * The last sort as the JSON document that the command line prints.
     */
    documentJson(): string | undefined;
    /**
     * One ewe of the last sort, opened; nothing where there is no such ewe.
     */
    ewe(tag: string): EweView | undefined;
    /**
     * What one ewe needs, from her figures alone, with curves to draw.
     */
    need(question: NeedQuestion): NeedReply;
    /**
     * An engine with no flock yet.
     */
    constructor();
    /**
     * The list of one pen of the last sort as CSV, or of all pens where no name is given.
     */
    penCsv(pen?: string | null): string | undefined;
    /**
     * All pens' lists of the last sort as a spreadsheet file; nothing where nothing is sorted.
     */
    penWorkbook(): Uint8Array | undefined;
    /**
     * A ewe picked up: what putting her into each pen would mean; nothing where there is no such ewe.
     */
    picked(tag: string): PickedView | undefined;
    /**
     * Takes the proof of the last sort one step on; nothing where there is none to do.
     */
    proveStep(): ProofView | undefined;
    /**
     * Puts a ewe into a pen, nobody else moving; nothing where nothing is sorted.
     */
    putInto(tag: string, pen: string): MoveReply | undefined;
    /**
     * Reads the files, sets faulty rows aside, and sorts the rest.
     */
    sort(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings): SortReply;
    /**
     * Takes the last move by hand back; nothing where there is none.
     */
    takeBack(): MoveReply | undefined;
}

/**
 * The answer to "sort these files".
 */
export type SortReply = { kind: "sorted"; view: SortView } | { kind: "impossible"; view: ImpossibleView } | { kind: "unreadable"; headline: string; problems: Problem[]; question: DateQuestion | null };

/**
 * A sort, ready to draw.
 */
export interface SortView {
    /**
     * "232 ewes in 6 pens".
     */
    headline: string;
    /**
     * "Fed for 21 days, 1 to 21 February 2027".
     */
    period: string;
    /**
     * How near the best possible the sort is.
     */
    quality: string;
    /**
     * Longer words on the bound, for whoever opens it.
     */
    quality_note: string;
    /**
     * What ewes moved by hand cost against the sort, in a line; empty where none was moved.
     */
    by_hand: string;
    /**
     * The moves by hand, the last first: the one that can be taken back.
     */
    moved: EweLine[];
    /**
     * Whether a proof could say more of that; not where the sort is proved best already.
     */
    can_prove: boolean;
    /**
     * The caution that every screen and print carries.
     */
    caution: string;
    /**
     * What the standard and intake model are, in a line.
     */
    basis: string;
    /**
     * The days of the period, for the day slider: "1 Feb".
     */
    days: string[];
    /**
     * The common axis of the pen strips.
     */
    axis: Axis;
    /**
     * The pens, in file order.
     */
    pens: PenView[];
    /**
     * Why ewes fit badly, in a line: how many for which cause; empty where none does.
     */
    badly_fitting_words: string;
    /**
     * Ewes that fit badly, worst first.
     */
    badly_fitting: EweLine[];
    /**
     * Ewes to weigh, score, scan or date, because something was taken from elsewhere.
     */
    to_check: EweLine[];
    /**
     * Ewes that were not sorted and what each still needs.
     */
    set_apart: EweLine[];
    /**
     * Ewes kept by hand and what that costs.
     */
    kept: EweLine[];
    /**
     * What is wrong or worth knowing.
     */
    problems: Problem[];
    /**
     * Words and marks that the picture needs explained.
     */
    legend: LegendLine[];
}

/**
 * Where a fact comes from.
 */
export interface Source {
    /**
     * The event.
     */
    event: string;
    /**
     * The day that it is about.
     */
    day: string;
    /**
     * The time of day that the device's clock showed.
     */
    time: string | null;
    /**
     * Who entered it: the person, or else the device.
     */
    by: string;
    /**
     * Whether another reading contradicts it: then it is taken until somebody settles it.
     */
    in_doubt: boolean;
}

/**
 * Who stands where.
 */
export interface Stands {
    /**
     * A list for each pen that holds anybody.
     */
    sheets: PenSheet[];
    /**
     * The caution that every sheet carries.
     */
    caution: string;
    /**
     * The same as the list that the moves are worked out from, CSV: tag, pen.
     */
    csv: string;
}

/**
 * The state.
 */
export interface StateDocument {
    /**
     * The version of this document's shape.
     */
    format: string;
    /**
     * Which answer this is: `state`.
     */
    status: string;
    /**
     * One line of caution.
     */
    caution: string;
    /**
     * One line: how many ewes, how many lambs.
     */
    headline: string;
    /**
     * The flock's name, where it was given.
     */
    flock: string | null;
    /**
     * How many events there are, undone ones included.
     */
    events: number;
    /**
     * The devices, by name.
     */
    devices: DeviceState[];
    /**
     * The ewes, in the order in which they were first met.
     */
    ewes: EweState[];
    /**
     * The pens.
     */
    pens: PenState[];
    /**
     * The mating groups.
     */
    groups: GroupState[];
    /**
     * Readings that contradict each other.
     */
    conflicts: Conflict[];
    /**
     * How many ewes carry how many lambs in what condition.
     */
    tally: Tally;
    /**
     * How many ewes were read each day by each device.
     */
    days: DayState[];
    /**
     * Notes of the flock as a whole.
     */
    notes: NoteState[];
    /**
     * What is wrong or worth knowing.
     */
    problems: Problem[];
}

export type SyncInitInput = BufferSource | WebAssembly.Module;

/**
 * The kind of farm, which decides target condition and floor space.
 */
export type System = "lowland" | "upland" | "hill";

/**
 * What came of taking a file in.
 */
export interface TakeReply {
    /**
     * Whether the file was a journal, so that anything could be taken.
     */
    taken: boolean;
    /**
     * Events that were not known before.
     */
    new: number;
    /**
     * Events of the file that were known already.
     */
    known: number;
    /**
     * Lines that could not be read; they are kept.
     */
    unread: number;
    /**
     * All of it in words.
     */
    words: string;
    /**
     * What is wrong with the file, by line.
     */
    problems: Problem[];
}

/**
 * How many ewes carry how many lambs in what condition.
 */
export interface Tally {
    /**
     * All ewes.
     */
    ewes: number;
    /**
     * Lambs carried by all that were scanned.
     */
    lambs: number;
    /**
     * By lambs carried, fewest first; those not scanned last.
     */
    by_litter: LitterCount[];
    /**
     * By condition, thinnest first; those not scored last.
     */
    by_condition: ConditionCount[];
    /**
     * By both.
     */
    by_both: BothCount[];
}

/**
 * Ewes of one litter size.
 */
export interface TallyLine {
    /**
     * `twins`.
     */
    what: string;
    /**
     * How many.
     */
    ewes: number;
}

/**
 * A body's target.
 */
export interface TargetLine {
    /**
     * The body.
     */
    body: string;
    /**
     * The class of ewe, as printed.
     */
    class: string;
    /**
     * Lowest and highest score at lambing.
     */
    at_lambing: [number, number];
}

/**
 * A thing that may be read again and again.
 */
export type Topic = "scanned" | "condition" | "age" | "due" | "weight" | "pen" | "fleece";

/**
 * The feeds on the farm, and what may be asked of a ewe beside them.
 */
export interface Trying {
    /**
     * The feeds.
     */
    feeds: FeedOffer[];
    /**
     * Live weights that a slider offers, kg.
     */
    weights_kg: [number, number];
    /**
     * Weeks to lambing that it offers.
     */
    weeks: [number, number];
}

/**
 * Which act to undo or bring back.
 */
export interface UndoRequest {
    /**
     * The device's name.
     */
    device: string;
    /**
     * What its clock shows.
     */
    now: Now;
    /**
     * Who undoes it.
     */
    by?: string;
    /**
     * The act, as the history names it.
     */
    act: string;
}

/**
 * One way of the gate, as it is called at the race.
 */
export interface Way {
    /**
     * From 1, the left one first.
     */
    number: number;
    /**
     * `left`, `straight on`, `right`.
     */
    words: string;
    /**
     * `L`, `S`, `R`: read at a glance.
     */
    letter: string;
    /**
     * `←`, `↑`, `→`.
     */
    arrow: string;
}

/**
 * A way, and the pens behind it.
 */
export interface WayPens {
    /**
     * The way.
     */
    way: Way;
    /**
     * The pens behind it.
     */
    pens: string[];
    /**
     * "Left: pens A, B."
     */
    words: string;
}

/**
 * Live weight.
 */
export interface WeightFact {
    /**
     * Kilograms.
     */
    weight_kg: number;
    /**
     * Where it comes from.
     */
    from: Source;
}

/**
 * Whether a live weight holds the lambs.
 */
export type WeightTaken = "without" | "with";

/**
 * What an event says.
 */
export type What = { kind: "flock_named"; name: string } | { kind: "ewe_met"; eid?: Eid; tag?: string; read?: string } | { kind: "scanned"; ewe: Name; lambs: Litter } | { kind: "condition_scored"; ewe: Name; score: Score } | { kind: "age_given"; ewe: Name; age: AgeClass } | { kind: "due_given"; ewe: Name; group?: string; due?: string } | { kind: "weighed"; ewe: Name; weight_kg: number } | { kind: "marked"; ewe: Name; mark: Mark; words?: string } | { kind: "mark_cleared"; ewe: Name; mark: Mark } | { kind: "noted"; ewe?: Name; words: string } | { kind: "pen_given"; ewe: Name; pen: string; advised?: Advice } | { kind: "pen_left"; ewe: Name; pen: string } | { kind: "fleece_seen"; ewe: Name; shorn: boolean } | { kind: "prior_listed"; eid?: Eid; tag?: string; lambs?: Litter; score?: Score; age?: AgeClass; due?: string; weight_kg?: number } | ({ kind: "pen_described" } & PenRow) | { kind: "pen_removed"; pen: string } | { kind: "group_described"; group: string; first_day: string; last_day: string; of: DayOf } | { kind: "identity_set"; ewe: Name; eid?: Eid; tag?: string } | { kind: "settled"; ewe: Name; holds: string; over: string[] } | { kind: "undone"; events: string[] };

/**
 * A line of the working.
 */
export interface WorkingLine {
    /**
     * How deep it stands: 0 for a result, 1 for what it is made of, and so on.
     */
    depth: number;
    /**
     * "Energy for the lambs".
     */
    name: string;
    /**
     * "E_c = 0.25 · W_o · E_t · 0.07372 · e^(−0.00643 t)".
     */
    formula: string;
    /**
     * The formula with the figures in it.
     */
    values: string;
    /**
     * "1.92 MJ a day".
     */
    result: string;
    /**
     * Where the formula comes from, and how certain it is.
     */
    source: string;
}

/**
 * If `module_or_path` is {RequestInfo} or {URL}, makes a request and
 * for everything else, calls `WebAssembly.instantiate` directly.
 *
 * @param {{ module_or_path: InitInput | Promise<InitInput> }} module_or_path - Passing `InitInput` directly is deprecated.
 *
 * @returns {Promise<InitOutput>}
 */
export default function __wbg_init (module_or_path: { module_or_path: InitInput | Promise<InitInput> } | InitInput | Promise<InitInput>): Promise<InitOutput>;

/**
 * The settings as they are until somebody changes them.
 */
export function defaultSettings(): Settings;

/**
 * The invented demo farm: its files and the day on which to sort it.
 */
export function demoFiles(): DemoFiles;

/**
 * Instantiates the given `module`, which can either be bytes or
 * a precompiled `WebAssembly.Module`.
 *
 * @param {{ module: SyncInitInput }} module - Passing `SyncInitInput` directly is deprecated.
 *
 * @returns {InitOutput}
 */
export function initSync(module: { module: SyncInitInput } | SyncInitInput): InitOutput;
