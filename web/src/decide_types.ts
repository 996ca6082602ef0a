// What GET /api/beds/{bed}/compare and /api/beds/{bed}/pull answer (docs/api.md).
import type { RuleReason, Sentence } from "./types";

export interface Between {
  mean: number;
  p05: number;
  p95: number;
}

interface Heading {
  at: string;
  day: string;
  garden: string;
  marked: string | null;
  bed: string;
  planting: string | null;
  crop: string | null;
  crop_name: string | null;
  nothing: Sentence | null;
}

export interface ComparedOption {
  means: string;
  name: string;
  on: string;
  share: Between;
  p_over: number;
  tied: boolean;
  minutes: number | null;
  effect: { source: string; known: string; low: number; high: number; stages: string[] } | null;
  earliest_harvest: string | null;
  why: Sentence[];
}

export interface RefusedAct {
  means: string;
  on: string;
  why: Sentence[];
  reasons: RuleReason[];
}

export interface PestCompared {
  pest: string;
  name: string;
  basis: "timing" | "population";
  gate: Sentence;
  threshold: { source: string; known: string; value: number; measure: "per_plant" | "share_of_plants"; stage: string } | null;
  why: Sentence[];
  by_timing: { act: { means: string; name: string }[]; look: string | null; why: Sentence[] };
  options: ComparedOption[];
  refused: RefusedAct[];
  assumed: Sentence[];
}

export interface Compare extends Heading {
  days: number;
  pests: PestCompared[];
}

export type Risk = "high" | "some" | "little";

export interface BedRisk {
  bed: string;
  crop: string;
  crop_name: string;
  metres: number;
  risk: Risk;
  among_most: number;
  over_more: number | null;
}

export interface PullPlan {
  first: string | null;
  first_name: string | null;
  on: string;
  cleared: boolean;
  against_plain: Between;
  beds: BedRisk[];
  by_way: Record<string, BedRisk[]>;
}

export interface PestPulled {
  pest: string;
  name: string;
  ways: Record<string, number> | null;
  plans: PullPlan[];
  least: number | null;
  knows: Sentence[];
  cannot_know: Sentence[];
}

export interface Pull extends Heading {
  past_harvest: boolean;
  pests: PestPulled[];
}
