// What GET /api/seasons, /api/seasons/{pest}, /api/pests/{pest}/hatch and /api/weather answer (docs/api.md).
import type { Sentence } from "./types";

export interface ComingEvent {
  generation: number;
  stage: string;
  name: string;
  mark: string;
  date: string | null;
  early: string | null;
  late: string | null;
  members: number;
  text: string;
  heat_left_c: number | null;
}

export interface PestSummary {
  pest: string;
  name: string;
  scientific: string;
  crops: { crop: string; name: string }[];
  state: "dated" | "waiting" | "unknown";
  headline: string;
  found: string | null;
  biofix: string | null;
  biofix_why: Sentence;
  members: number;
  now: { generation: number; stage: string; name: string; share: number }[];
  next: ComingEvent | null;
}

interface Ground {
  at: string;
  day: string;
  garden: string;
  marked: string | null;
  future: "forecast" | "past_years" | "last_fortnight";
  forecast_last: string | null;
  weather_last: string | null;
  whole_year: boolean;
}

export interface Seasons extends Ground {
  pests: PestSummary[];
}

export type MarkName = "p05" | "p25" | "p50" | "p75" | "p95";
export type Marks = Record<MarkName, string | null>;

export interface StageEntry {
  stage: string;
  name: string;
  enter: Marks;
  interval: Record<MarkName, { early: string | null; late: string | null; members: number }> | null;
  share: number;
}

export interface GenerationCalendar {
  generation: number;
  partial: boolean | null;
  complete_share: number;
  resting_share: number;
  laid_share: number;
  stages: StageEntry[];
}

export interface HeatDay {
  date: string;
  this_year: number | null;
  normal: number | null;
  low: number | null;
  high: number | null;
  last_year: number | null;
}

export interface HeatComparison {
  lower_c: number;
  in_soil: boolean;
  since: string | null;
  until: string | null;
  years: number;
  now: number | null;
  normal: number | null;
  low: number | null;
  high: number | null;
  last_year: number | null;
  days: HeatDay[];
}

export interface KeyDate {
  generation: number;
  stage: string;
  name: string;
  this_year: string | null;
  normal: string | null;
  earliest: string | null;
  latest: string | null;
  years: number;
  last_year: string | null;
}

export interface SeasonPageView extends Ground, PestSummary {
  coming: ComingEvent[];
  migrant: { text: string } | null;
  winter_kill: { text: string } | null;
  overwintered: GenerationCalendar | null;
  generations: GenerationCalendar[];
  gaps: { first: string; last: string }[];
  comparison: { years: number; heat: HeatComparison | null; dates: KeyDate[] } | null;
  ahead: string;
  sure: string;
}

export interface Hatch {
  found: string;
  stages: StageEntry[];
}

export interface WeatherDay {
  date: string;
  min_c: number | null;
  max_c: number | null;
  rain_mm: number | null;
  filled: boolean;
}

export interface FutureDay {
  date: string;
  told: boolean;
  min_c: { low: number; mid: number; high: number };
  max_c: { low: number; mid: number; high: number };
}

export interface WeatherView extends Omit<Ground, "whole_year"> {
  recorded_first: string | null;
  members: number;
  files: { name: string; kind: string; first: string | null; last: string | null; days: number; issued: string | null; findings: Sentence[] }[];
  gaps: { first: string; last: string; days: number }[];
  usual: { years: number; days: { date: string; min_c: number; max_c: number }[] } | null;
  days: WeatherDay[];
  future_days: FutureDay[];
  says: Sentence[];
}
