// The API's answers (docs/api.md). Sentences come ready in the reader's language.
import type { Session } from "./people_types";

export interface Sentence {
  code: string;
  text: string;
}
export type Urgency = "lock" | "act" | "look" | "wait" | "none";
export type Verdict = "allowed" | "conditional" | "refused" | "unknown";
export type RuleState = "pass" | "conditional" | "refused" | "unknown";

export interface RuleReason {
  rule: string;
  state: RuleState;
  card_field: string;
  card_line: number | null;
  text: string;
  remedy?: string | null;
}
export interface StageStand {
  stage: string;
  name: string;
  present: number;
  generation: number;
  from: string | null;
  mid: string | null;
  to: string | null;
}
export interface Density {
  mean: number;
  p05: number;
  p95: number;
  stage: string | null;
  counted_on: string | null;
  soon: { mean: number; p05: number; p95: number; on: string | null } | null;
}
export interface Threshold {
  value: number;
  measure: "per_plant" | "share_of_plants";
  stage: string;
  source: string;
  known: string;
  note: string;
}
export interface PestView {
  pest: string;
  name: string;
  basis: "timing" | "population";
  stages: StageStand[];
  timing_unknown: Sentence | null;
  density: Density | null;
  threshold: Threshold | null;
  p_over: number | null;
  p_over_soon: number | null;
  why: Sentence[];
}
export interface OptionView {
  means: string;
  name: string;
  kind: "hand" | "cover" | "pull" | "spray" | "wait";
  pest: string;
  efficacy: { low: number; high: number; source: string; known: string; note: string } | null;
  stages: string[];
  minutes: number | null;
  verdict: Verdict | null;
  reasons: RuleReason[];
  why: Sentence[];
}
export interface RefusedView {
  product: string;
  verdict: Verdict;
  reasons: RuleReason[];
}
export interface BedView {
  bed: string;
  planting: string | null;
  crop: string | null;
  crop_name: string | null;
  urgency: Urgency;
  headline: Sentence;
  pests: PestView[];
  do: Sentence[];
  options: OptionView[];
  refused: RefusedView[];
  harvest_clear: string | null;
  entry_clear: string | null;
  harvest_text: string;
  entry_text: string;
}
export interface Visit {
  bed: string;
  planting: string | null;
  crop: string | null;
  pest: string;
  name: string;
  stage: string;
  stage_name: string;
  plants: number;
  minutes: number;
  place: string;
  look: string | null;
  text: string;
}
export type Answer = "yes" | "no" | "unknown";
export interface BoardRow {
  bed: string;
  crop: string | null;
  crop_name: string | null;
  pick: Answer;
  enter: Answer;
  until: string | null;
  text: string;
}
export interface Weather {
  recorded_to: string | null;
  future: string;
  forecast_to: string | null;
  gaps: { first: string; last: string }[];
}
export interface Brief {
  at: string;
  day: string;
  garden: string;
  marked: string | null;
  lang: string;
  weather: Weather;
  beds: BedView[];
  walk: Visit[];
  leave: { bed: string; text: string }[];
  deciding_count: Visit | null;
  board: BoardRow[];
  cautions: string[];
  notes: Sentence[];
  basis_text: string;
}
export interface Board {
  at: string;
  garden: string;
  marked: string | null;
  board: BoardRow[];
  cautions: string[];
}
export interface PlantingView {
  planting: string;
  crop: string;
  name: string;
  plants: number | null;
  set_out: string | null;
  first_harvest: string | null;
  last_harvest: string | null;
  removed: string | null;
}
export interface HistoryLine {
  id: string;
  seq: number;
  kind: string;
  at: string;
  clock: { said: string; offset_s: number; text: string } | null; // where the device's clock said another time
  by: string; // a reference to a person, or what was typed before there were people
  by_name: string;
  text: string;
  amendment: { withdrawn: boolean; reason: string; by: string; by_name: string; at: string } | null;
  may_withdraw: boolean;
}
// What only a person there can say of a spray.
export interface Told {
  method?: string;
  flowers?: "none" | "open" | "open-cucurbit";
  handler?: { family?: boolean; adult?: boolean; trained?: boolean; licensed?: boolean; protection?: string[] };
  produce?: "kept" | "given" | "sold";
  organic?: boolean;
  enclosed?: boolean;
  nearest_person_m?: number;
  release_height_m?: number;
  droplets?: string;
  water_l_m2?: number;
}
export interface Plan {
  told: Told;
  begun_id: string | null;
  begun_at: string | null;
  id: string;
  product: string;
  rate: string;
  pest: string;
  at: string;
  by: string;
  by_name: string;
}
export interface BedPage {
  bed: string;
  at: string;
  garden: string;
  marked: string | null;
  plantings: PlantingView[];
  brief: BedView | null;
  plans: Plan[];
  history: HistoryLine[];
  cards: string[];
}
export interface Named {
  key: string;
  name: string;
}
export interface CardView {
  product: string;
  digest: string;
  copied_by: string;
  copied_on: string | null;
  uses: { crops: { crop: string; name: string }[]; rate_min: string | null; rate_max: string | null; line: number }[];
  statements: Statement[];
}
export interface Statement {
  field: string;
  line: number;
  text: string;
}
export interface GardenView {
  name: string;
  marked: string | null;
  zone: string;
  units: "metric" | "us";
  own_day: string | null;
  now: string;
  at: string;
  beds: { bed: string; plantings: { planting: string; crop: string; name: string; plants: number | null }[] }[];
  pests: { id: string; name: string; hosts: string[]; stages: Named[]; countable: Named[] }[];
  crops: { eppo: string; name: string }[];
  cards: CardView[];
}
export interface MayTreat {
  plantings: {
    planting: string;
    crop: string;
    name: string;
    verdict: Verdict;
    reasons: RuleReason[];
    earliest_harvest: string | null;
    reentry: string | null;
    reentry_until_dry: boolean;
  }[];
  card: string;
  statements: Statement[];
  cautions: string[];
}
export interface ApiError {
  code: string;
  text: string;
  what: string;
  where: { file?: string; line?: number; field?: string };
  do: string;
  facts: Record<string, string>;
}
// Who this device writes as; docs/access.md.
export interface Me {
  person: string | null; // null on the garden's own computer
  name: string | null;
  role: string;
  may: string[];
  token: string | null;
  session: Session | null;
}
export interface ErrorAnswer {
  error: ApiError;
  judgement?: { verdict: Verdict; reasons: RuleReason[] };
}
