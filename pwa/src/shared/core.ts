/**
 * What the screens and the core say to each other: intents (what a person does), questions and their answers.
 * The core is Go (sync/schema), compiled to WebAssembly; these types mirror its JSON. Keys carry their unit.
 * Numbers come rounded to what is shown; TypeScript formats them and adds nothing up.
 */

export type Id = string;
export type Ms = number;

/** One number of a drink, with the band it deserves. v is null when unknown; at_least when only a lower bound is known. */
export interface Figure {
  v: number | null;
  lo: number | null;
  hi: number | null;
  at_least?: boolean;
  dec: number;
}

export interface Figures {
  volume_ml: Figure;
  abv_percent: Figure;
  alcohol_g: Figure;
  sugar_g_per_100ml: Figure;
  acid_percent: Figure;
  sugar_to_acid: Figure;
}

export type Verdict = 'below' | 'in' | 'above' | '';
export interface Usual {
  lo: number;
  hi: number;
}

/** One line's share in a figure: "honey syrup, 15 ml at 690 g/l, typical: 10.4 g". */
export interface Share {
  name: string;
  volume_ml: number | null;
  per_litre: number | null;
  amount: number | null;
  typical: boolean;
}

export interface Balance {
  method: string;
  before: Figures;
  after: Figures;
  water_ml: Figure;
  water_percent_of_start: Figure;
  /**
   * measured: weighed or read; own: the published curve times the owner's calibration; curve: published curve by method;
   * energy: heat balance, used below 15 % start where the curve does not hold; habit: common practice, the whole row as band.
   */
  basis: 'measured' | 'own' | 'curve' | 'energy' | 'habit' | 'none';
  /** The freezing point of the finished glass, °C: over ice of 0 °C it gets no colder. Null where strength, sugar or water is unknown. */
  coldest_c: Figure;
  /** Keys: abv_percent, sugar_g_per_100ml, acid_percent, water_percent_of_start, volume_ml. Empty: no range known. */
  usual: Partial<Record<BalanceKey, Usual>>;
  verdict: Partial<Record<BalanceKey, Verdict>>;
  why: Partial<Record<'alcohol_g' | 'sugar_g_per_100ml' | 'acid_percent' | 'volume_ml', Share[]>>;
  /**
   * Codes, each at most once; their sentences are in the words: strength_unknown, sugar_unknown, acid_unknown, open_amount,
   * outside_curve, method_unknown, parts_without_size, estimate, raw_egg, melt_too_little (measured water less than cooling
   * from 20 °C to 0 °C must melt), melt_too_much (measured water above twice the start).
   */
  remarks: { code: string; names: string[] }[];
}
export type BalanceKey = 'abv_percent' | 'sugar_g_per_100ml' | 'acid_percent' | 'water_percent_of_start' | 'volume_ml';

export interface LineView {
  id: Id;
  /** The amount as typed, set for reading: "¾", "2", "8–10", "" when open. */
  amount: string;
  /** Unit key: ml, cl, oz, dash, barspoon, drop, part, piece, top, rinse, float ... the words know its word. */
  unit: string;
  name: string;
  note: string;
  typed: string;
  volume_ml: number | null;
  estimate: boolean;
  open: '' | 'top' | 'rinse' | 'float' | 'taste';
  ingredient: Id | null;
  abv_percent: number | null;
  assumed: string[];
  clash: boolean;
  /** With a clash: the other value set for reading, e.g. "20 ml". */
  or: string | null;
  /** Differs from the parent's line. */
  changed: boolean;
}

/** Alcohol drunk: exact sums, rounded once. at_least when a strength is unknown; or: the total with the rival value of a clash. */
export interface Alcohol {
  grams: number;
  drinks: number;
  at_least: boolean;
  or_drinks: number | null;
  about: boolean;
}

export interface DrinkUnit {
  country: string;
  name: string;
  grams: number;
  fallback: boolean;
}

export interface PourRow {
  id: Id;
  at_ms: Ms;
  /** Local time where it was drunk, "22:04", and its drinking day "2026-05-15". */
  time: string;
  /** "" unless the clocks were changed within its session: then the offset it was lived at, "UTC+2". */
  utc: string;
  day: string;
  name: string;
  /** "benchmark", a riff's name, or "" for a plain drink. */
  version: string;
  benchmark: boolean;
  plain: boolean;
  share_bp: number;
  score_x10: number | null;
  alcohol: Alcohol;
  note: string;
  tags: string[];
  spec: Id | null;
  drink: Id | null;
  clash: boolean;
  deleted_changed: boolean;
  about: boolean;
  /** The owner's word on whether a session begins with it. */
  mark: '' | 'split' | 'join';
}

/**
 * One line of guidance beside what was drunk, or a limit of the owner's own (issuer "own", year 0). `amount` is what was
 * drunk, in `unit`. Comparator "none": the issuer gives no number, and `limit` is 0; "band": `note` names the band.
 */
export interface Guideline {
  issuer: string;
  year: number;
  status: string;
  comparator: string;
  limit: number;
  amount?: number | null;
  at_least?: boolean;
  unit: string;
  period: 'day' | 'week' | 'occasion' | 'two_hours' | '';
  group: string;
  state: 'below' | 'at' | 'above' | '';
  /** It is what the line warns of. */ reached?: boolean;
  note: string;
  /** At or above the limit on fewer days than the issuer asks to spread it over: so many days. Otherwise 0. */ spread_days: number;
}

export interface Totals {
  alcohol: Alcohol;
  pours: number;
}

export interface Tonight {
  unit: DrinkUnit;
  now_day: string;
  /** The running session, or null when none runs. */
  session: null | {
    since_ms: Ms;
    since: string;
    totals: Totals;
    pace_per_hour: number | null;
    peak_two_hours: number;
    since_last_min: number;
    pours: PourRow[];
    /** minutes between pours */ gaps_min: number[];
  };
  /** With no session running: the newest that ended within twelve hours. */
  ended: null | { since: string; until: string; totals: Totals };
  /** The owner's quiet switch: no count of days is shown, and of `plains` those without alcohol come first. */
  quiet: boolean;
  /** As in the answer to week. */ heavy: boolean;
  water_ml: number;
  /** Same again: the newest pour of the session (or of the last days), and what one more would bring tonight to. */
  again: null | {
    pour: Id;
    spec: Id | null;
    name: string;
    version: string;
    plain: boolean;
    would_bring: Alcohol;
    passes: Guideline[];
  };
  /** Presets; one without alcohol has abv_percent 0. */
  plains: {
    id: Id;
    name: string;
    volume_ml: number;
    abv_percent: number | null;
    would_bring: Alcohol;
    passes: Guideline[];
  }[];
  specs: { id: Id; name: string; version: string; would_bring: Alcohol; passes: Guideline[] }[];
  clashes: number;
}

export interface JournalAnswer {
  unit: DrinkUnit;
  days: {
    day: string;
    alcohol: Alcohol;
    sessions: { since: string; until: string; alcohol: Alcohol; pours: PourRow[] }[];
  }[];
  total: number;
  more: boolean;
  counting: boolean;
}

export interface PourView {
  pour: PourRow;
  unit: DrinkUnit;
  lines: LineView[];
  method: string;
  ice: string;
  balance: Balance | null;
  volume_ml: number | null;
  abv_percent: number | null;
  clashes: Clash[];
  offset_min: number;
  zone: string;
  /** The owner's word on where its session begins. */
  mark: '' | 'split' | 'join';
  score_scale: string;
  /** Flavour terms to choose from, the owner's most used first. */ terms: string[];
}

export interface SpecRow {
  id: Id;
  name: string;
  benchmark: boolean;
  parent: Id | null;
  poured: number;
  last_day: string | null;
  best_x10: number | null;
  clash: boolean;
  changed: string;
}
export interface SpecsAnswer {
  drinks: { id: Id; name: string; family: string; specs: SpecRow[] }[];
  loose: SpecRow[];
}

export interface SpecView {
  id: Id;
  drink: Id | null;
  drink_name: string;
  name: string;
  benchmark: boolean;
  parent: Id | null;
  method: string;
  ice: string;
  glass: string;
  garnish: string;
  strain: string;
  note: string;
  /** With lines in parts: what one part is, or what all of them come to before ice. */
  part_ul: number | null;
  total_ul: number | null;
  lines: LineView[];
  balance: Balance;
  alcohol: Alcohol;
  unit: DrinkUnit;
  poured: number;
  last_day: string | null;
  /** The drink's specs as a tree, benchmark first. */
  tree: { row: SpecRow; depth: number }[];
  clashes: Clash[];
  cost: { currency: string; minor: number; partial: boolean }[];
  cautions: Caution[];
}

/** A line being typed, or a whole spec being written: read and weighed while typing. */
export interface DraftAnswer {
  lines: ({ ok: true; lines: LineView[] } | { ok: false; refusal: Refusal })[];
  balance: Balance | null;
  alcohol: Alcohol | null;
  unit: DrinkUnit;
}

export interface SwapChoice {
  ingredient: Id;
  name: string;
  abv_percent: number | null;
  left_ml: number | null;
  as_written: boolean;
}
export interface PourSheet {
  spec: SpecView;
  swaps: { line: Id; line_name: string; amount: string; unit: string; choices: SwapChoice[] }[];
  alcohol: Alcohol;
  would_bring: Alcohol;
  passes: Guideline[];
  terms: string[];
}

export interface DayRow {
  day: string;
  weekday: number;
  alcohol: Alcohol | null;
  /** drunk, free: confirmed without alcohol, nothing: nothing logged */ state: 'drunk' | 'free' | 'nothing';
  what: { name: string; n: number }[];
  future: boolean;
}
/** A run of days: on how many alcohol is logged, how many are confirmed free of it, on how many nothing is logged. */
export interface Span {
  from: string;
  to: string;
  totals: Totals;
  drinking: number;
  free: number;
  nothing: number;
}

/** A session, named by its first pour: a mark of split or join on that pour moves where it begins. */
export interface SessionRow {
  id: Id;
  day: string;
  since: string;
  until: string;
  /** From the first pour to the last, as they passed. */ hours: number;
  alcohol: Alcohol;
  pours: number;
  pace_per_hour: number | null;
  peak_two_hours: number;
  mark: '' | 'split' | 'join';
}
export interface WeekAnswer {
  unit: DrinkUnit;
  now_day: string;
  session: null | Totals;
  last_seven: Span & { days: DayRow[] };
  calendar: Span & { name: string; days: DayRow[] };
  four_week_mean: Alcohol;
  /** Those that touch the last seven days, newest first. */
  sessions: SessionRow[];
  /** The days of the last four weeks with alcohol come to 15 UK units a day or more: time for the medical caution. */
  heavy: boolean;
  guidance: Guideline[];
  /** The country has guidance of its own on file; else `guidance` is the fallback's. */
  on_file: boolean;
  /** The owner's country, by its code. */
  country: string;
  /** The week is shown only when asked for. */
  quiet: boolean;
  day_start_min: number;
  /** The month in which guidance was last compared with its issuers, "2026-11"; old when over 18 months ago. */
  checked: string;
  checked_old: boolean;
}

/** The smallest change by whole steps of one line or two, and the glass with it; not found: none does it. */
export interface AdjustAnswer {
  found: boolean;
  step_ml: number;
  changes: { line: Id; name: string; from_ml: number; to_ml: number }[];
  balance: Balance | null;
}
/** Calendar weeks, oldest first; the last is the running one. */
export interface WeeksAnswer {
  unit: DrinkUnit;
  day_start_min: number;
  weeks: (Span & { name: string })[];
  /** A week, over the complete weeks shown from the first that the journal has a pour in; null when there is none. */
  mean: Alcohol | null;
}

/** A drink someone else made of unknown bottles, by its family; recorded as a plain drink that is `about`. */
export interface GuessesAnswer {
  unit: DrinkUnit;
  rows: {
    id: string;
    name: string;
    volume_ml: number;
    abv_percent: number;
    /** The strength's usual range; both the strength itself for a common measure. */
    lo: number;
    hi: number;
    alcohol: Alcohol;
    /** What one would bring this session to, and what it would pass. */
    would_bring: Alcohol;
    passes: Guideline[];
    marking: 'from memory (unverified)' | 'common practice';
  }[];
}

export interface LabelAnswer {
  day: string;
}

/** Days or pours as a table to keep: RFC 4180, UTF-8, lines ending in CRLF, a row of keys first. */
export interface TableAnswer {
  csv: string;
}

export interface BottlesAnswer {
  rows: {
    id: Id;
    name: string;
    ingredient: Id | null;
    size_ml: number | null;
    left_ml: number | null;
    opened_on: string | null;
    finished_on: string | null;
    price_minor: number | null;
    currency: string;
    abv_percent: number | null;
    clash: boolean;
  }[];
}
export interface SideAnswer {
  drinks: {
    id: Id;
    name: string;
    rows: {
      spec: Id;
      name: string;
      benchmark: boolean;
      tasted: number;
      scores_x10: number[];
      last_day: string | null;
    }[];
  }[];
}

/** How wet the owner's own drinks come out, against the published curves. */
export interface CalibrationAnswer {
  rows: {
    method: string;
    /** "" over all ice. */
    ice: string;
    /** Weighed or measured pours it stands on. */
    drinks: number;
    /** Water of the owner's drinks in percent of the published curve's, shrunk; 100 = as published. */
    percent: number;
    lo: number;
    hi: number;
    /** The mean before shrinking. */
    seen_percent: number;
  }[];
}

/** A line of a way, as for the intent 'spec': `ingredient` where the name alone could mean another. */
export interface WayLine {
  keep?: Id;
  typed: string;
  ingredient?: Id;
}
/** One way of putting another ingredient in a line, figured for what is really poured. */
export interface Way {
  /**
   * juice_and_sugar: a sharper juice for the same acid, with syrup and water for what it lacks; apart: a liqueur as spirit,
   * syrup and water; back: spirit and syrup as a liqueur; split: half of the old and half of the new.
   */
  way:
    | 'same_volume'
    | 'equal_sugar'
    | 'as_it_tastes'
    | 'juice_only'
    | 'juice_and_acid'
    | 'juice_and_sugar'
    | 'acid_adjusted'
    | 'apart'
    | 'back'
    | 'equal_alcohol'
    | 'split';
  /** What changes: was "" for what is new, typed "" for what goes. */
  lines: { was: string; typed: string }[];
  /** The whole spec with it, for the intent 'spec' of a riff; its method, ice, glass, garnish and strain go along. */
  all: WayLine[];
  balance: Balance;
  alcohol: Alcohol;
  /** Acid to weigh, by its plain name: citric, malic. It is among the lines too. */
  weigh: { acid: string; grams: number }[];
  /** From so much juice on a scale of 0.1 g weighs every acid to a tenth; null when nothing is weighed. */
  batch_ml: number | null;
  /**
   * What else moves. Codes: total_changes, alcohol_more, alcohol_less, sugar_more, sugar_less, acid_more, acid_less,
   * factor_used, flavour, strength_unknown, sugar_unknown, acid_unknown.
   */
  notes: string[];
}
/** Ways to put another ingredient in a line. `ways` is empty until one is chosen, but for 'apart', which needs none. */
export interface WaysAnswer {
  line: Id;
  name: string;
  sort: 'sweetener' | 'citrus' | 'liqueur' | 'spirit' | 'other';
  /** Of a kind: gin, whisky; "" when not known. */
  family: string;
  before: Balance;
  choices: {
    ingredient: Id;
    name: string;
    abv_percent: number | null;
    sugar_g_per_100ml: number | null;
    acid_percent: number | null;
    own: boolean;
    family: string;
  }[];
  ways: Way[];
}
/** What a spec would be with a touch of something. */
export interface TouchesAnswer {
  before: Balance;
  rows: {
    typed: string;
    name: string;
    sort: 'dashes' | 'spiced' | 'bitter';
    /** Where the amount comes from. */ marking: string;
    all: WayLine[];
    balance: Balance;
    alcohol: Alcohol;
  }[];
}
/** Two specs line by line, in the order of a; what only b has follows. */
export interface DifferenceAnswer {
  a: SpecRow;
  b: SpecRow;
  /** a, b: the line as typed, "" where it has none. */
  rows: { name: string; a: string; b: string; sort: '' | 'changed' | 'only_a' | 'only_b' }[];
  /** Of method, ice, glass, garnish, strain those that differ. */
  words: { field: string; a: string; b: string }[];
  balance_a: Balance;
  balance_b: Balance;
}

/**
 * What to be careful about, as a code; its sentence is in the words. In a thing: raw_egg, quinine, caffeine, grapefruit,
 * charcoal, liquorice, and allergen.<name> with egg, milk, nuts, peanuts, gluten, sulphites, fish, crustaceans, molluscs,
 * celery, mustard, sesame, soya, lupin. Of a batch: slush, carbonated_freezer, freezer_unknown, in_glass (added in
 * each glass, not in the batch), open_amount. Of an infusion: avoid.tobacco, avoid.tonka, avoid.kernels, avoid.liver,
 * avoid.calamus, avoid.garden, avoid.nitrogen; with care: infused.wormwood, infused.foraged, infused.oil, infused.cinchona.
 */
export interface Caution {
  code: string;
  /** Of the lines or words it is about. */
  names: string[];
  /** Where the rule comes from; "own": the owner noted it; "" of what follows from the figures. */
  marking: string;
}
export interface BatchLine {
  line: Id;
  name: string;
  /** In one glass. */
  one_ml: number | null;
  ml: number | null;
  grams: number | null;
  estimate: boolean;
  /** A dash and the like: taste before adding all of it. */
  taste_first: boolean;
  bottles: { bottle: Id; name: string; takes_ml: number }[];
  /** Not on the shelf. */
  short_ml: number;
  /** Of what is counted, so many. */
  pieces: number | null;
}
export interface BatchAnswer {
  spec: Id;
  name: string;
  method: string;
  /** Glasses it makes, to a tenth; 0 of parts without a size. */
  servings: number;
  /** One glass with its water. */
  serving_ml: Figure;
  lines: BatchLine[];
  /** Water put in; its band is how much the drink's own water may differ from it. */
  water_ml: Figure;
  water_grams: number | null;
  water_percent_of_start: Figure;
  total_ml: number | null;
  /** The bottle it is filled into, and what stays empty in it. */
  bottle_ml: number | null;
  headspace_ml: number | null;
  /** Of one glass of it: with the water put in, or where none is with that of its method. */
  balance: Balance;
  /** Of the whole batch. */
  alcohol: Alcohol;
  unit: DrinkUnit;
  freezer: null | {
    at_c: number;
    freezes_c: Figure;
    state: 'liquid' | 'slush';
    /** From this strength on a drink without sugar stays liquid there. */
    min_abv_percent: number;
  };
  cautions: Caution[];
  cost: { currency: string; minor: number; partial: boolean }[];
}
export interface SyrupAnswer {
  /** What to weigh. */
  sugar_g: number;
  water_g: number;
  brix: number;
  sugar_g_per_100ml: number;
  yield_ml: number;
  /** More sugar than stays dissolved at 5 °C, at 20 °C. */
  crystals_5c: boolean;
  crystals_20c: boolean;
  cost_minor: number | null;
  cost_minor_per_100ml: number | null;
}
export interface InfusionAnswer {
  abv_percent: Figure;
  made_ml: number;
  /** What a ml costs now, as a multiple of before. */
  cost_factor: number;
  /** No water was told of, so its strength is taken as unchanged: nobody measured it. */
  assumed: boolean;
  cautions: Caution[];
}
/** What comes of spirit and water is `lost_ml` less than the two poured together. */
export interface CutAnswer {
  water_ml: number;
  made_ml: number;
  lost_ml: number;
}
export interface MakingsAnswer {
  /** Newest first. */
  rows: {
    id: Id;
    sort: 'batch' | 'syrup' | 'infusion' | '';
    name: string;
    spec: Id | null;
    on: string;
    made_ml: number | null;
    servings: number | null;
    bottle: Id;
    /** Null too when its bottle is deleted. */
    left_ml: number | null;
    keep_by: string | null;
    /** Past its day. */
    over: boolean;
    cost: { currency: string; minor: number; partial: boolean }[];
    /** name: "" of a bottle that is not here. */
    draws: { bottle: Id; name: string; ml: number }[];
  }[];
  now_day: string;
}

/** A benchmark with what may be swapped in it, to begin comparing from; what is being compared. */
export interface ComparisonsAnswer {
  rows: {
    id: Id;
    name: string;
    drink_name: string;
    candidates: number[];
    pairings: number;
    tasted: number;
    scored: number;
    last_day: string | null;
    /** A flight begun and not ended. */
    running: Id | null;
  }[];
  /** Drinks with a benchmark to begin from. */
  drinks: { id: Id; name: string; base: Id; lines: { line: Id; text: string; name: string }[] }[];
}

/**
 * One pairing beside the benchmark. `picks`: "<swap> <ingredient>" for each swap in order, on lines of their own; of an
 * addition "<swap> <candidate>", or "<swap> <swap>" for nothing added, whose name is empty.
 */
export interface Finding {
  picks: string;
  names: string[];
  benchmark: boolean;
  tasted: number;
  flights: number;
  scores_x10: number[];
  /** The same on today's scale. */
  todays_x10: number[];
  d: number | null;
  lo: number | null;
  hi: number | null;
  better_percent: number | null;
  verdict:
    | 'benchmark'
    | 'better'
    | 'worse'
    | 'about_the_same'
    | 'probably_better'
    | 'probably_worse'
    | 'worth_trying'
    | 'unlikely'
    | 'predicted'
    | 'not_enough_data';
  not_blind: boolean;
  guess: boolean;
  together: boolean;
  at_ceiling: boolean;
  price_minor: number | null;
  currency: string;
  on_front: boolean;
  per_point_minor: number | null;
  spec: Id | null;
}

export interface Effect {
  ingredient: Id;
  candidate: Id;
  name: string;
  family: string;
  benched: boolean;
  benchmark: boolean;
  d: number;
  lo: number;
  hi: number;
  better_percent: number;
  tasted: number;
  terms: { term: string; n: number }[];
  price_minor: number | null;
  currency: string;
}

export interface ComparisonAnswer {
  id: Id;
  name: string;
  drink_name: string;
  base: Id;
  anchor_x10: number | null;
  anchors: { id: Id; from_ms: Ms; day: string; anchor_x10: number }[];
  /**
   * The first effect with `benchmark` is the base's own. An addition stands in no line of the base: its line_name and amount
   * are empty, its benchmark is that nothing is added, and each name says how much of what.
   */
  swaps: { id: Id; line_name: string; amount: string; addition: boolean; effects: Effect[] }[];
  pairings: number;
  /** All when there are at most 2500 pairings, best first; else those tasted and the 60 most promising. */
  findings: Finding[];
  /** The words are the screen's. */
  say: {
    code: 'none_yet' | 'ahead' | 'no_better' | 'needs_more' | 'confirmed' | 'apart' | 'ask_anchor';
    names: string[];
    d: number | null;
    lo: number | null;
    hi: number | null;
  }[];
  families: { swap: Id; family: string; than: string; d: number; lo: number; hi: number }[];
  /** Names of candidates that were never compared with each other; empty when all are connected. */
  groups: string[][];
  interactions: { picks: string; names: string[]; d: number }[];
  flights: {
    id: Id;
    day: string;
    seats: number;
    scored: number;
    state: 'planned' | 'running' | 'ended';
    sight: string;
  }[];
  panel: { taster: string; n: number; top: string }[];
  trials: {
    sort: string;
    a: string;
    b: string;
    n: number;
    first: number;
    chance_percent: number;
    shown: boolean;
    lo_percent: number;
    hi_percent: number;
  }[];
  /** From trials of what was preferred. */
  choices: { picks: string; names: string[]; ability: number; lo: number; hi: number }[];
  /** Over flights of the same glasses. */
  ranks: null | { chance_percent: number; shown: boolean; flights: number; rows: { names: string[]; sum: number }[] };
  scored: number;
  unit: DrinkUnit;
  csv: string;
}

export interface PlanAnswer {
  seats: {
    picks: string;
    names: string[];
    why: 'benchmark' | 'leader' | 'new' | 'promise' | 'own';
    gain: number | null;
    alcohol: Alcohol;
  }[];
  flight: Alcohol;
  today: Alcohol;
  session: Alcohol;
  limit_drinks: number;
  limit_from: 'own_day' | 'usual';
  fits: boolean;
  /** A strength is unknown: it cannot be said to fit. */
  unknown: string[];
  unit: DrinkUnit;
  heavy: boolean;
  quiet: boolean;
}

/** One trial: which glass holds which of the two, and what choosing it comes to. */
export interface TrialAnswer {
  /** From left to right. */
  glasses: { code: number; of: 'a' | 'b'; outcome: 'a' | 'b' | 'found' | 'missed' }[];
  /** With fewer trials nothing can be shown. */
  fewest: number;
  /** Some examples: so many have to agree, of so many. */
  needed: { agree: number; of: number }[];
}

export interface FlightAnswer {
  id: Id;
  comparison: Id;
  name: string;
  state: 'planned' | 'running' | 'ended';
  sight: 'blind' | 'half' | 'sighted';
  pour_ml: number;
  limit_drinks: number;
  today: Alcohol;
  unit: DrinkUnit;
  /** All seats are scored, or it has ended, and half blind it is uncovered: names may be shown. */
  revealed: boolean;
  /** Half blind, tasted and not yet uncovered: which code stood under each glass is to be told. */
  uncover: boolean;
  /** Planned: it would still fit now. Begun: today's sum is still below the limit. */
  fits: boolean;
  /** When the last glass of it was tasted. */
  last_ms: Ms | null;
  /** Lines that are in every glass, for all of them, before ice. */
  batch: { name: string; one_ml: number; ml: number; typed: string }[];
  method: string;
  seats: {
    id: Id;
    pos: number;
    code: number;
    /** Empty until revealed, unless sighted. */
    names: string[];
    score_x10: number | null;
    /** It is the benchmark; not told until revealed. */
    benchmark: boolean;
    /** Points to the benchmark of the same evening; null for itself, and when either has no score. */
    d: number | null;
    note: string;
    tags: string[];
    pour: Id | null;
    ratings: { taster: string; score_x10: number | null; note: string }[];
  }[];
  /** For whoever pours: which code holds what. Shown only when asked for. */
  key: { code: number; names: string[]; lines: { name: string; ml: number }[] }[];
  terms: string[];
  /** The place of the next seat without a score. */
  next: number | null;
}

/** A field, or a group of fields that belong together, with rival values. */
export interface Clash {
  id: Id;
  kind: string;
  field: string;
  /** What the thing is called: "Orchard Sour, lemon juice". */
  title: string;
  values: {
    stamp: string;
    text: string;
    device: string;
    at_ms: Ms;
    shown: boolean;
    effect: { acid_percent?: number; alcohol_g?: number };
  }[];
  /** Free text can keep both. */
  joinable: boolean;
}

export interface KeeperAnswer {
  settings: Settings;
  countries: { code: string; name: string; unit: string; grams: number }[];
  counts: { drinks: number; specs: number; pours: number; bottles: number };
  clashes: Clash[];
  /**
   * Codes: deleted_changed, deleted_restored, line_in_deleted_spec, spec_missing, ingredient_deleted, ingredient_missing,
   * drink_deleted, drink_missing, benchmark_deleted, benchmark_missing, fragment, in_the_future.
   */
  needs_look: { id: Id; kind: string; title: string; code: string }[];
  trash: { id: Id; kind: string; title: string; day: string }[];
}
export interface Settings {
  country: string;
  units: 'ml' | 'oz';
  oz_kind: 'bar' | 'us' | 'imperial';
  day_start_min: number;
  week_start: 'iso' | 'sun' | 'sat';
  dash_ul: number;
  barspoon_ul: number;
  own_day_drinks_x10: number | null;
  own_week_drinks_x10: number | null;
  quiet: boolean;
}

export interface Refusal {
  code: string;
  field: string;
  text: string;
}

export type Question =
  | { q: 'tonight' }
  | { q: 'journal'; days: number; text?: string }
  | { q: 'pour'; id: Id }
  | { q: 'specs'; text?: string }
  | { q: 'spec'; id: Id }
  | { q: 'draft'; lines: string[]; method: string; spec?: Id; part_ul?: number; total_ul?: number }
  | { q: 'sheet'; spec: Id; swap?: { line: Id; ingredient: Id }; share_bp?: number }
  /** Which small change brings these figures into their usual ranges. */
  | { q: 'adjust'; spec: Id; keys: BalanceKey[]; more_alcohol?: boolean }
  /** How another ingredient fits in a line. */
  | { q: 'ways'; spec: Id; line: Id; ingredient?: Id }
  | { q: 'touches'; spec: Id }
  | { q: 'difference'; a: Id; b: Id }
  | { q: 'week' }
  /** n: 1 to 53, with the running one. */
  | { q: 'weeks'; n: number }
  | { q: 'guesses' }
  /** Which drinking day a moment counts for. */
  | { q: 'label'; at_ms: Ms; offset_min: number }
  /** Drinking days, both ends included; at most 40,000 of them. */
  | { q: 'table'; of: 'days' | 'pours'; from: string; to: string }
  | { q: 'bottles' }
  | { q: 'side' }
  | { q: 'calibration' }
  /**
   * Exactly one of servings, total_ul, bottle_ul. By method: as much water as a glass takes up. freezer_c: whole °C, -40 to
   * 0; with carbonated there is a caution and no answer about the freezer.
   */
  | {
      q: 'batch';
      spec: Id;
      servings?: number;
      total_ul?: number;
      bottle_ul?: number;
      headspace_ul?: number;
      water: 'none' | 'method' | 'percent';
      /** Of what is put in, in hundredths of a percent. */
      percent_bp?: number;
      freezer_c?: number;
      carbonated?: boolean;
    }
  /** Sugar and water by weight, or both by volume. */
  | ({ q: 'syrup'; sugar_price_minor_per_kg?: number; made_ul?: number } & (
      { sugar_mg: number; water_mg: number } | { sugar_ul: number; water_ul: number }
    ))
  /** water_ul: given by fruit and the like; made_ul: what was got back; what: what is put in, read for cautions. */
  | { q: 'infusion'; vol_ul: number; abv_bp: number; water_ul?: number; made_ul?: number; what: string }
  /** Water that brings a spirit of one strength to a lower one, at 20 °C. */
  | { q: 'cut'; vol_ul: number; abv_bp: number; to_bp: number }
  | { q: 'makings' }
  | { q: 'comparisons' }
  | { q: 'comparison'; id: Id }
  /** Which glasses to taste next. `seats`: as edited by the person, by their picks; else they are planned. */
  | { q: 'plan'; id: Id; glasses: number; pour_ul: number; seed: string; seats?: string[] }
  | { q: 'flight'; id: Id }
  /** The trial after n others; the glasses come from the seed alone. */
  | { q: 'trial'; of: 'paired' | 'triangle' | 'preferred'; n: number; seed: string }
  | { q: 'clash'; id: Id }
  | { q: 'keeper' };

export interface Answers {
  tonight: Tonight;
  journal: JournalAnswer;
  pour: PourView;
  specs: SpecsAnswer;
  spec: SpecView;
  draft: DraftAnswer;
  sheet: PourSheet;
  adjust: AdjustAnswer;
  ways: WaysAnswer;
  touches: TouchesAnswer;
  difference: DifferenceAnswer;
  week: WeekAnswer;
  weeks: WeeksAnswer;
  guesses: GuessesAnswer;
  label: LabelAnswer;
  table: TableAnswer;
  bottles: BottlesAnswer;
  side: SideAnswer;
  calibration: CalibrationAnswer;
  batch: BatchAnswer;
  syrup: SyrupAnswer;
  infusion: InfusionAnswer;
  makings: MakingsAnswer;
  cut: CutAnswer;
  comparisons: ComparisonsAnswer;
  comparison: ComparisonAnswer;
  plan: PlanAnswer;
  flight: FlightAnswer;
  trial: TrialAnswer;
  clash: { clashes: Clash[] };
  keeper: KeeperAnswer;
}
export type AnswerTo<Q extends Question> = Answers[Q['q']];

/**
 * What a person does. `id` is minted by the page (26 characters), so that a repeated intent makes the same thing once;
 * the ids of what else it makes are derived from it.
 */
export type Intent =
  /**
   * A new spec (and its drink, when `drink` is a new id), or changes to one that is there: what is not given, and lines that
   * are not named, stay as they are by then. Lines are typed text. `keep` names the line it is, or is a copy of; `id` is minted
   * for a line that is added; `was` is the text the page showed first, `moved` puts a line behind the one named before it,
   * `gone` deletes it. `ingredient` says which one a name means.
   */
  | {
      do: 'spec';
      id: Id;
      drink?: Id;
      drink_name?: string;
      name?: string;
      parent?: Id;
      method?: string;
      ice?: string;
      glass?: string;
      garnish?: string;
      strain?: string;
      note?: string;
      lines: (WayLine & { id?: Id; was?: string; moved?: boolean; gone?: boolean })[];
      part_ul?: number;
      total_ul?: number;
      slip?: boolean;
    }
  /** Change one line of a spec. A spec that has been poured becomes a riff with that one line changed, unless `slip`. */
  | { do: 'line'; id: Id; spec: Id; line: Id; typed: string; slip?: boolean }
  /** One glass of a spec, perhaps with one ingredient swapped: that finds or makes the riff with that one line changed. */
  | {
      do: 'pour';
      id: Id;
      spec: Id;
      swap?: { line: Id; ingredient: Id };
      at_ms?: Ms;
      offset_min?: number;
      zone?: string;
      share_bp?: number;
      score_x10?: number | null;
      note?: string;
      tags?: string[];
      about?: boolean;
      water_ul?: number;
      before_mg?: number;
      after_mg?: number;
    }
  /** The same drink n times (1 to 20) in one action, evenly from the first time to the last: of a spec, or a plain one. */
  | {
      do: 'several';
      id: Id;
      n: number;
      first_at_ms: Ms;
      last_at_ms: Ms;
      offset_min?: number;
      /** When the clocks change in between: from then on the pours are lived at this offset. Both or neither. */
      turns_at_ms?: Ms;
      last_offset_min?: number;
      zone?: string;
      share_bp?: number;
      about?: boolean;
      spec?: Id;
      name?: string;
      vol_ul?: number;
      abv_bp?: number | null;
    }
  /** The same glass once more: what was in it, again. */
  | { do: 'again'; id: Id; pour: Id; at_ms?: Ms; offset_min?: number; zone?: string }
  /** A drink that is no cocktail; `keep` makes a preset of it. */
  | {
      do: 'plain';
      id: Id;
      name: string;
      vol_ul: number;
      abv_bp: number | null;
      at_ms?: Ms;
      offset_min?: number;
      zone?: string;
      share_bp?: number;
      about?: boolean;
      keep?: boolean;
    }
  | { do: 'water'; id: Id; vol_ul: number; zone?: string }
  /** Set fields of one thing as they are named in the model (garnish, score_x10, note, ...). null clears. */
  | { do: 'edit'; id: Id; kind: string; set: Record<string, string | number | boolean | null>; slip?: boolean }
  | {
      do: 'bottle';
      id: Id;
      name: string;
      ingredient?: Id;
      abv_bp?: number | null;
      size_ul?: number | null;
      price_minor?: number | null;
      currency?: string;
      opened_on?: string | null;
    }
  /**
   * Something made to keep: with it come its ingredient and a bottle of it, opened `on` that day (today unless said). Draws
   * leave their bottles. Without a price of its own the bottle costs what was drawn. Deleting it takes both along.
   */
  | {
      do: 'making';
      id: Id;
      sort: 'batch' | 'syrup' | 'infusion';
      name: string;
      /** The ingredient it makes more of; else the owner's of this name and strength, else a new one. */
      ingredient?: Id;
      spec?: Id;
      made_ul: number;
      servings_x10?: number;
      water_ul?: number;
      draws: { bottle: Id; vol_ul: number }[];
      keep_days?: number | null;
      abv_bp?: number | null;
      sugar_mgl?: number | null;
      acid_mgl?: number | null;
      price_minor?: number | null;
      currency?: string;
      on?: string;
    }
  /**
   * One question: the base's lines to swap and what may stand in them, and lines that may be added ("5 ml gentian bitter").
   * Lines, and one more when something may be added, are 1 to 4. The base's own ingredients, and nothing added, always may.
   */
  | {
      do: 'compare';
      id: Id;
      base: Id;
      lines: Id[];
      name?: string;
      candidates?: { line: Id; ingredient?: Id; name?: string }[];
      touches?: string[];
    }
  /** A name that is not known makes an ingredient. `text`: of an addition, a typed line. */
  | { do: 'candidate'; id: Id; swap: Id; ingredient?: Id; name?: string; text?: string }
  /** The benchmark's score as it is declared from now on. */
  | { do: 'anchor'; id: Id; comparison: Id; anchor_x10: number; drunk?: boolean; at_ms?: Ms }
  /** Refused with over_limit when it does not fit, with strength_unknown when that cannot be said. */
  | {
      do: 'flight';
      id: Id;
      comparison: Id;
      pour_ul: number;
      seed: string;
      sight: 'blind' | 'half' | 'sighted';
      seats: { picks: string; why: string }[];
    }
  /** One glass of a flight. A repeat for a seat that has a pour edits that pour. */
  | {
      do: 'taste';
      id: Id;
      seat: Id;
      score_x10?: number | null;
      note?: string;
      tags?: string[];
      share_bp?: number;
      at_ms?: Ms;
      offset_min?: number;
      zone?: string;
    }
  /** To start is refused with over_limit when the flight does not fit any more; resume takes the end back. */
  | { do: 'flight_state'; id: Id; state: 'start' | 'end' | 'resume' }
  /** Of a half-blind flight: the code found under the glass of place 1, 2, 3 ..., each of the flight's once. */
  | { do: 'uncover'; id: Id; codes: number[] }
  | { do: 'rate'; id: Id; seat: Id; taster: string; score_x10?: number | null; note?: string }
  /** Outcomes: a, b or tie; of triangle found or missed. */
  | {
      do: 'trial';
      id: Id;
      comparison: Id;
      sort: 'paired' | 'triangle' | 'preferred';
      a: string;
      b: string;
      outcome: string;
      at_ms?: Ms;
    }
  | { do: 'choose'; id: Id; field: string; stamp: string }
  | { do: 'keep_both'; id: Id; field: string }
  /** `also`: others in the same action, such as those of 'several'. */
  | { do: 'delete'; id: Id; also?: Id[] }
  | { do: 'restore'; id: Id; also?: Id[] }
  | { do: 'erase'; id: Id }
  | { do: 'benchmark'; spec: Id }
  /** An own limit above the country's guidance is refused with above_guidance unless `sure`. */
  | { do: 'set'; name: keyof Settings; value: string | number | boolean | null; sure?: boolean }
  | { do: 'day'; day: string; alcohol_free: boolean };

/** What an act made or touched, to go there and to redraw. */
export interface Done {
  made: Id;
  touched: Id[];
  riff?: Id;
}

/** Where the device stands with its server. */
export interface SyncState {
  /** `asking`: nothing is unsent, and no answer with a mark has come since the app was opened, or since one failed to. */
  state: 'local' | 'asking' | 'synced' | 'unsent' | 'catching_up' | 'comparing' | 'stopped';
  unsent: number;
  /** Rows on this device that the app cannot read: unsent ones stay where they are, and go into every file. */
  unreadable: number;
  online: boolean;
  /** What the server said last in place of an answer: with stopped why, else what it is asked again after. */
  code: string | null;
  last_ms: Ms | null;
  /** What this device's clock is corrected by: below 0 when it is ahead of the server's. */
  clock_off_ms: number;
}
