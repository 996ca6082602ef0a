// What GET /api/outlook answers (docs/api.md).
import type { Sentence } from "./types";

export interface Spread {
  mean: number;
  p025: number;
  p05: number;
  p25: number;
  p50: number;
  p75: number;
  p95: number;
  p975: number;
}

export interface OutlookDay {
  date: string;
  stages: Record<string, Spread>;
  counted: Spread | null;
  p_over: number | null;
}

export interface Taken {
  date: string;
  stage: string;
  stage_name: string;
  group: string | null;
  plants: number;
  count: number;
  per_plant: number;
  counted: number | null;
  text: string;
}

export interface OutlookPestInBed {
  pest: string;
  name: string;
  basis: "timing" | "population";
  crop: string;
  counts: number;
  counted_stage: string;
  counted_stage_name: string;
  threshold: { value: number; measure: "per_plant" | "share_of_plants"; stage: string; source: string; known: string } | null;
  passing: { date: string; chance: number; likely: boolean } | null;
  says: Sentence;
  taken: Taken[];
  days: OutlookDay[];
  learned: { unknown: string; name: string; learned: boolean; p05: number; p50: number; p95: number }[];
  not_learned: string[];
  movement: Record<string, number>;
}

export interface OutlookBed {
  bed: string;
  planting: string | null;
  crop: string | null;
  crop_name: string | null;
  pests: OutlookPestInBed[];
}

export interface OutlookPest {
  pest: string;
  name: string;
  basis: "timing" | "population";
  counts: number;
  gate: Sentence & { passed: boolean };
  assumed: Sentence[];
  left_out: Sentence[];
}

export interface Outlook {
  at: string;
  day: string;
  days: number;
  garden: string;
  marked: string | null;
  weather: { recorded_to: string | null; future: "forecast" | "past_years" | "last_fortnight"; forecast_to: string | null };
  no_numbers: Sentence | null;
  beds: OutlookBed[];
  worst: { bed: string; pest: string }[];
  pests: OutlookPest[];
  not_counted: { pest: string; name: string; beds: string[]; left_out: Sentence[] }[];
  notes: Sentence[];
}
