// What every page shares: the language, the words, and where the reader is.
import { signal } from "@preact/signals";
import { fill, type Language, monthAndWeekday, time, weekday } from "./format";

export type UnitsChoice = "garden" | "metric" | "us";

function remembered(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

function firstLanguage(): Language {
  const kept = remembered("leafturn.lang");
  if (kept === "en" || kept === "es") return kept;
  return navigator.language.startsWith("es") ? "es" : "en";
}

function firstUnits(): UnitsChoice {
  const kept = remembered("leafturn.units");
  return kept === "metric" || kept === "us" ? kept : "garden";
}

export const language = signal<Language>(firstLanguage());
export const units = signal<UnitsChoice>(firstUnits());
export const by = signal<string>(remembered("leafturn.by") ?? "");
export const signedFor = signal<string | null>(null); // the person a lead writes for, while the page is open
export const words = signal<Record<string, string>>({});
export const onePage = signal(false); // the counting page: there is no other to go to
export const path = signal<string>(location.pathname + location.search);

export function remember(key: string, value: string): void {
  try {
    localStorage.setItem(`leafturn.${key}`, value);
  } catch {
    // A choice that can't be kept holds until the page is closed.
  }
}

// A label of the word catalogue. Its facts are filled in here; sentences about the garden come filled from the server.
export function t(key: string, facts: Record<string, string | number> = {}): string {
  const template = words.value[key];
  return template === undefined ? `⟦${key}⟧` : fill(template, facts);
}

export function hasWord(key: string): boolean {
  return words.value[key] !== undefined;
}

export function percent(share: number): string {
  if (share > 0 && share < 0.01) return t("format.share_below");
  if (share < 1 && share > 0.99) return t("format.share_above");
  return t("format.share", { n: Math.round(share * 100) });
}

export function go(to: string): void {
  history.pushState(null, "", to);
  path.value = location.pathname + location.search;
  window.scrollTo(0, 0);
}

// Days as the server's sentences write them: Wed 17 Jun.
export function day(iso: string): string {
  return t("format.date", { weekday: t(`format.weekday.${weekday(iso)}`), day: Number(iso.slice(8, 10)), month: t(`format.month.${Number(iso.slice(5, 7))}`) });
}

// In tables of many days, where the weekday says nothing.
export function shortDay(iso: string): string {
  return `${Number(iso.slice(8, 10))} ${t(`format.month.${Number(iso.slice(5, 7))}`)}`;
}

export function longDay(iso: string): string {
  return t("pages.timeline.date_long", { ...monthAndWeekday(iso, language.value), day: Number(iso.slice(8, 10)) });
}

export function dayAndTime(iso: string): string {
  return `${day(iso)}, ${time(iso)}`;
}

// Whether a garden's measures are shown in US units: as chosen here, else as the garden has them.
export function showsUs(garden: string): boolean {
  return (units.value === "garden" ? garden : units.value) === "us";
}
