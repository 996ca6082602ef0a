// What /api/spray-hours and /api/spray-start answer.
export type LimitState = "pass" | "warn" | "stop" | "unknown";
export type HourState = "open" | "care" | "shut" | "unknown";

export interface SprayLimit {
  limit: string;
  state: LimitState;
  value: number | null;
  bound: number | null;
  unit: string | null;
  from_label: boolean;
  source: string | null;
  known: string | null;
  code: string;
  text: string;
}
export interface SprayHour {
  time: string;
  open: boolean;
  state: HourState;
  chance: number | null;
  limits: SprayLimit[];
}
interface Said {
  code: string;
  text: string;
}
export interface SprayHours {
  product: string;
  works: string;
  told_by: "forecast" | "record" | "past";
  hours: SprayHour[];
  windows: { start: string; end: string; chance: number | null }[];
  compromise: { start: string; end: string; gives: SprayLimit[]; costs: Said[] } | null;
  asks: Said[];
  notes: Said[];
  never_permission: string;
}
export interface SprayStart {
  may: boolean;
  for_a_reason: boolean; // only advice speaks against it
  people_distance_m: number;
  limits: SprayLimit[];
  text: string;
}
export type YesNo = "yes" | "no";
