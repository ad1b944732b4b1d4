// Generated from the engine's Rust types by `cargo xtask types`; do not edit.

/**
 * Age class, as pens and tables tell ewes apart.
 */
export type AgeClass = "ewe_lamb" | "shearling" | "mature";

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
 * One flock and its pens, sorted on request.
 */
export class Engine {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * The settings as they are until somebody changes them.
     */
    defaultSettings(): Settings;
    /**
     * The invented demo farm: its files and the day on which to sort it.
     */
    demoFiles(): DemoFiles;
    /**
     * The last sort as the JSON document that the command line prints.
     */
    documentJson(): string | undefined;
    /**
     * One ewe of the last sort, opened; nothing where there is no such ewe.
     */
    ewe(tag: string): EweView | undefined;
    /**
     * An engine with no flock yet.
     */
    constructor();
    /**
     * The list of one pen of the last sort as CSV, or of all pens where no name is given.
     */
    penCsv(pen?: string | null): string | undefined;
    /**
     * Reads the files, sets faulty rows aside, and sorts the rest.
     */
    sort(flock: Uint8Array, pens: Uint8Array, groups: Uint8Array | null | undefined, settings: Settings): SortReply;
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
 * What they stand on.
 */
export type Floor = "straw" | "slats";

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
     * Ways to mend it, smallest first.
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
 * The number of lambs a ewe carries: 0 (barren) to 5.
 */
export type Litter = number;

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
     * The file meant, where there is one: `flock`, `pens` or `groups`.
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
}

/**
 * How much a problem matters.
 */
export type Severity = "note" | "warning" | "error";

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

export type SyncInitInput = BufferSource | WebAssembly.Module;

/**
 * The kind of farm, which decides target condition and floor space.
 */
export type System = "lowland" | "upland" | "hill";

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
 * Instantiates the given `module`, which can either be bytes or
 * a precompiled `WebAssembly.Module`.
 *
 * @param {{ module: SyncInitInput }} module - Passing `SyncInitInput` directly is deprecated.
 *
 * @returns {InitOutput}
 */
export function initSync(module: { module: SyncInitInput } | SyncInitInput): InitOutput;
